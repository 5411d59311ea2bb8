"""Many records out of the archive at once: sheets, packs, and a table of results, with a manifest of digests.

It can be stopped at any time and goes on where it was: what stands in the folder with the right digest is not
written again. The manifest is written last, so that a folder without one is not finished.
"""

from __future__ import annotations

import dataclasses
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from app import progress
from app.desk.view import Refusal
from app.exchange import results_out
from app.record import pack
from app.record.canonical import canonical, digest
from app.record.files import write_whole
from app.record.revision import Record, from_bytes
from ctcore.findings import Finding
from ctcore.job import Place, places

if TYPE_CHECKING:
    from app.jobstore.archive import Archive, Asked, FiledLine

MANIFEST: Final = "manifest.json"
SUMS: Final = "SHA256SUMS"
FORMAT: Final = "coreleaf-bulk"
_UNPLAIN: Final = re.compile(r"[^A-Za-z0-9._-]+")

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is to be written."""

    sheets: bool = True
    packs: bool = False
    csv: bool = True
    json: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written; `finished` where the manifest stands."""

    record_count: int
    file_count: int
    folder: Path
    finished: bool

    @property
    def text(self) -> str:
        """The run in one sentence."""
        if self.finished:
            return f"{self.record_count} records, {self.file_count} files and their digests in {self.folder}."
        return (
            f"Stopped after {self.record_count} records; what is in {self.folder} is kept, and it can go on."
        )


def export(
    archive: Archive,
    asked: Asked,
    folder: Path,
    wanted: Wanted,
    *,
    tell: Progress | None = None,
) -> Written:
    """Write everything that fits the question; as a work in hand, stopped, it keeps the records written.

    Refusal where the folder cannot be written.
    """
    lines, done = list(_lines(archive, asked)), 0
    sums: dict[str, str] = {}
    rows: list[results_out.Row] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / MANIFEST).unlink(missing_ok=True)
        for line in progress.each(lines, "record"):
            rows += _write_record(archive, line, folder, wanted, sums)
            done += 1
            if tell is not None:
                tell(done, len(lines))
        _write_tables(folder, rows, wanted, sums)
        _write_manifest(folder, lines, sums)
    except progress.Stopped:
        return Written(record_count=done, file_count=len(sums), folder=folder, finished=False)
    except OSError as problem:
        reason = (problem.strerror or type(problem).__name__).lower()
        raise Refusal(
            f"The archive is untouched. {folder} cannot be written ({reason}): choose another folder, or "
            "make room; what is there already is not written again."
        ) from problem
    return Written(record_count=len(lines), file_count=len(sums), folder=folder, finished=True)


def result_rows(line: FiledLine, record: Record, decision_text: str) -> Iterator[results_out.Row]:
    """A row for each judged line of a record, and for each derived value that nothing judges."""
    head = {
        **{name: getattr(line, name) for name in results_out.COLUMNS if hasattr(line, name)},
        "decision_text": decision_text,
    }
    here = {place.core.core_id: _of_core(place) for place in places(record.job)}
    judged = set()
    for finding in record.findings:
        judged.add((finding.core, finding.procedure, finding.take, finding.row, finding.quantity))
        yield {**head, **here.get(finding.core, {}), **_of_finding(finding)}
    for of_take in record.derived:
        for value in of_take.values:
            key = (of_take.core_id, of_take.procedure_id, of_take.take, value.row, value.quantity_id)
            if key not in judged:
                yield {
                    **head,
                    **here.get(of_take.core_id, {}),
                    "procedure_id": of_take.procedure_id,
                    "row": value.row,
                    "quantity_id": value.quantity_id,
                    "value": value.value,
                    "unit": _unit(value.quantity_id),
                    "u_expanded": value.u_expanded,
                }


def _write_record(
    archive: Archive, line: FiledLine, folder: Path, wanted: Wanted, sums: dict[str, str]
) -> list[results_out.Row]:
    data = archive.packed(line.record_digest)
    papers = pack.read_pack(data)
    stem = f"{_UNPLAIN.sub('_', line.number_text)[:60]}_r{line.revision}_{line.record_digest[:8]}"
    if wanted.sheets and papers.sheet is not None:
        _write(folder / f"{stem}.pdf", papers.sheet, sums)
    if wanted.packs:
        _write(folder / f"{stem}.zip", data, sums)
    if not (wanted.csv or wanted.json):
        return []
    decision = json.loads(papers.issued or b"{}").get("decision", "")
    return list(result_rows(line, from_bytes(papers.record), decision))


def _write_tables(folder: Path, rows: list[results_out.Row], wanted: Wanted, sums: dict[str, str]) -> None:
    if wanted.csv:
        _write(folder / "results.csv", (results_out.csv_head() + results_out.csv_rows(rows)).encode(), sums)
    if wanted.json:
        told = "".join(f"{results_out.json_row(row)}\n" for row in rows)
        _write(folder / "results.jsonl", told.encode(), sums)


def _write_manifest(folder: Path, lines: list[FiledLine], sums: dict[str, str]) -> None:
    plain = {
        "format": FORMAT,
        "version": 1,
        "files": sums,
        "records": [
            {name: value for name, value in dataclasses.asdict(line).items() if name != "core_count"}
            for line in lines
        ],
    }
    told = "".join(f"{sha256}  {name}\n" for name, sha256 in sorted(sums.items()))
    write_whole(folder / SUMS, told.encode())
    write_whole(folder / MANIFEST, canonical(plain))


def _write(path: Path, data: bytes, sums: dict[str, str]) -> None:
    sums[path.name] = digest(data)
    if not (path.exists() and digest(path.read_bytes()) == sums[path.name]):
        write_whole(path, data)


def _lines(archive: Archive, asked: Asked) -> Iterator[FiledLine]:
    before: int | None = None
    while True:
        page = archive.search(asked, before=before, limit=200)
        yield from (hit.filed for hit in page.hits)
        if page.next_before is None:
            return
        before = page.next_before


def _of_core(place: Place) -> dict[str, Any]:
    return {
        "position_text": place.position.name_text,
        "phase_text": place.ct.phase_text,
        "serial_text": place.ct.serial_text,
        "core_number": place.core.number,
        "core_id": place.core.core_id,
        "class_text": place.core.class_text,
    }


def _of_finding(finding: Finding) -> dict[str, Any]:
    return {
        "procedure_id": finding.procedure,
        "row": finding.row,
        "quantity_id": finding.quantity,
        "value": finding.value,
        "unit": finding.unit,
        "u_expanded": finding.u_expanded,
        "limit_low": finding.limit_low,
        "limit_high": finding.limit_high,
        "verdict": finding.verdict,
        "rule": finding.rule,
        "source": finding.source,
    }


def _unit(quantity_id: str) -> str:
    from ctcore.quantities import QUANTITIES

    known = next((one for one in QUANTITIES if one.quantity_id == quantity_id), None)
    return known.unit if known is not None else ""
