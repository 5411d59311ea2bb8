"""Many records at once: everything with its digest, stopped and gone on with, nothing half written."""

from __future__ import annotations

import hashlib
import json
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from app import progress
from app.desk.archive.bulk import MANIFEST, SUMS, Wanted, export
from app.desk.view import Refusal
from app.exchange import results_out
from app.jobstore.archive import Archive, Asked
from app.progress import Work, under
from app.record.revision import from_bytes
from tests.app.jobstore.archive.conftest import file, first
from tests.app.record.signed_scene import revision_of

EVERYTHING = Wanted(sheets=True, packs=True, csv=True, json=True)


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    its = Archive.open(str(tmp_path / "archive.sqlite"))
    file(its, first(), revision_of("1043"))
    yield its
    its.close()


def test_everything_is_written_with_its_digest(archive: Archive, tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    done = export(archive, Asked(), tmp_path / "out", EVERYTHING, tell=lambda *at: told.append(at))

    assert (done.finished, done.record_count, done.file_count) == (True, 2, 6)
    assert told == [(1, 2), (2, 2)]
    manifest = json.loads((tmp_path / "out" / MANIFEST).read_bytes())
    for name, sha256 in manifest["files"].items():
        assert hashlib.sha256((tmp_path / "out" / name).read_bytes()).hexdigest() == sha256
    checked = subprocess.run(["sha256sum", "--quiet", "-c", SUMS], cwd=tmp_path / "out", check=False)
    assert checked.returncode == 0


def test_sheets_and_packs_are_the_bytes_that_were_signed(archive: Archive, tmp_path: Path) -> None:
    export(archive, Asked(number_text="1042"), tmp_path / "out", EVERYTHING)

    (sheet,) = (tmp_path / "out").glob("*.pdf")
    (packed,) = (tmp_path / "out").glob("*.zip")
    assert sheet.read_bytes() == first().sheet
    assert packed.read_bytes() == first().packed


def test_there_is_a_row_for_every_finding_with_unit_and_ids(archive: Archive, tmp_path: Path) -> None:
    export(archive, Asked(number_text="1042"), tmp_path / "out", EVERYTHING)
    findings = from_bytes(first().record).findings

    rows = results_out.read_csv((tmp_path / "out" / "results.csv").read_bytes().decode())
    assert len([row for row in rows if row["verdict"]]) == len(findings)
    assert {row["number_text"] for row in rows} == {"1042"}
    assert {row["decision_text"] for row in rows} == {"approved"}
    lines = (tmp_path / "out" / "results.jsonl").read_text("utf-8").splitlines()
    assert len(results_out.read_json(lines)) == len(rows)


def test_it_stops_where_it_is_told_to_and_goes_on_without_writing_again(
    archive: Archive, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(progress, "_TELL_EVERY_S", 0.0)
    work = Work(lambda done, _count, _unit: work.stop() if done == 0 else None)
    with under(work):
        none = export(archive, Asked(), tmp_path / "none", EVERYTHING)
    work = Work(lambda *_told: None)
    with under(work):
        stopped = export(archive, Asked(), tmp_path / "out", EVERYTHING, tell=lambda *_at: work.stop())
    assert (none.record_count, stopped.record_count, stopped.finished) == (1, 1, False)
    assert not (tmp_path / "out" / MANIFEST).exists()
    before = {path.name: path.stat().st_mtime_ns for path in (tmp_path / "out").iterdir()}
    assert len(before) == 2

    assert export(archive, Asked(), tmp_path / "out", EVERYTHING).finished
    assert {name: (tmp_path / "out" / name).stat().st_mtime_ns for name in before} == before


def test_a_file_that_was_spoiled_is_written_again(archive: Archive, tmp_path: Path) -> None:
    export(archive, Asked(), tmp_path / "out", EVERYTHING)
    sheet = next((tmp_path / "out").glob("1042*.pdf"))
    sheet.write_bytes(b"spoiled")

    export(archive, Asked(), tmp_path / "out", EVERYTHING)
    assert sheet.read_bytes() == first().sheet


def test_a_folder_that_cannot_be_written_is_a_sentence(archive: Archive, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file stands here")
    with pytest.raises(Refusal, match=r"^The archive is untouched"):
        export(archive, Asked(), tmp_path / "out", EVERYTHING)


def test_nothing_found_is_an_empty_table_with_its_manifest(archive: Archive, tmp_path: Path) -> None:
    done = export(archive, Asked(serial_text="nowhere"), tmp_path / "out", EVERYTHING)
    assert (done.finished, done.record_count) == (True, 0)
    assert (tmp_path / "out" / "results.csv").read_text("utf-8").count("\n") == 1
