"""One record out of the archive, open for reading: what it says, how it stands, how long it is kept."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from app.desk.archive.bulk import result_rows
from app.desk.printing import SheetPdf
from app.desk.view import Refusal
from app.record import pack, receipt
from app.record.problem import Altered, CannotTell
from app.record.revision import from_bytes
from app.record.verdict import Verdict
from app.record.verify import verify_bytes

if TYPE_CHECKING:
    from app.exchange.results_out import Row
    from app.jobstore.archive import Archive, CoreHit, FiledLine, Hold, Kept, Rights, Swap
    from app.record.trust import Trust


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A record with its cores and results; `sheet` is the signed file, None where the pack has none."""

    line: FiledLine
    cores: tuple[CoreHit, ...]
    rows: tuple[Row, ...]
    sheet: SheetPdf | None
    kept: Kept
    holds: tuple[Hold, ...]
    swaps: tuple[Swap, ...]
    rights: Rights
    today: str

    @property
    def why_not_deleted(self) -> str:
        """Why it cannot be deleted now: the key of a sentence; empty where it can."""
        if not self.rights.may_delete:
            return "no_right"
        if self.holds:
            return "held"
        if self.kept.retention == "for_ever" or self.today < self.kept.keep_until:
            return "kept"
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a record stands: the check of its bytes and signatures, and what its receipt says."""

    verdict: Verdict
    receipt_text: str
    receipt_counts: bool


def open_record(archive: Archive, record_digest: str, *, today: date) -> Opened:
    """A record as it came, taken apart. ArchiveProblem where it is gone or the archive does not answer."""
    line = archive.line(record_digest)
    given = pack.read_pack(archive.packed(record_digest))
    decision = json.loads(given.issued or b"{}").get("decision", "")
    return Opened(
        line=line,
        cores=tuple(archive.cores_of(line.leaf_no)),
        rows=tuple(result_rows(line, from_bytes(given.record), decision)),
        sheet=None if given.sheet is None else _sheet(line, given.sheet),
        kept=archive.kept(record_digest),
        holds=tuple(archive.holds(record_digest)),
        swaps=tuple(archive.swaps(line.leaf_no)),
        rights=archive.rights(),
        today=today.isoformat(),
    )


def standing(archive: Archive, record_digest: str, trust: Trust) -> Standing:
    """Check a record afresh: every digest, every signature, and the receipt."""
    data = archive.packed(record_digest)
    given = archive.receipt_of(record_digest)
    if given is None:
        return Standing(
            verdict=verify_bytes(data, trust=trust),
            receipt_text="The archive has no receipt of it.",
            receipt_counts=False,
        )
    its, signature = given
    told = f"Filed in place {its.leaf_no + 1}, arrived {its.arrived_at_utc[:16].replace('T', ' ')} UTC."
    try:
        receipt.read(receipt.spelled(its), signature, trust=trust)
    except (Altered, CannotTell) as problem:
        return Standing(
            verdict=verify_bytes(data, trust=trust),
            receipt_text=f"{told} The receipt does not count here: {problem.sentence}",
            receipt_counts=False,
        )
    return Standing(verdict=verify_bytes(data, trust=trust), receipt_text=told, receipt_counts=True)


def keep_longer(
    archive: Archive, opened: Opened, *, retention: str, until: str, person_text: str, at: datetime
) -> None:
    """Keep a record in another class, or until a later day; Refusal where the day is none."""
    day = opened.kept.keep_until if retention == "for_ever" and not until.strip() else until.strip()
    try:
        date.fromisoformat(day)
    except ValueError:
        raise Refusal("Nothing was changed. The day is written as 2055-05-04.") from None
    least = least_until(opened, retention)
    if day < least:
        raise Refusal(f"Nothing was changed. Kept so, the record stays until {least} at least.")
    archive.keep_until(
        opened.line.record_digest, retention=retention, until=day, person_text=person_text, at=at
    )


def least_until(opened: Opened, retention: str) -> str:
    """The first day that a class of keeping allows: so many years from the issue, never earlier than now.

    Practice: the life of a unit ends when somebody says so; until then its records stay 24 years at least.
    """
    years = {"24_years": 24, "40_years": 40}.get(retention)
    if years is None:
        return opened.kept.keep_until
    issued = opened.line.issued_at_utc[:10]
    day = f"{int(issued[:4]) + years:04d}{issued[4:]}".replace("-02-29", "-03-01")
    return max(day, opened.kept.keep_until)


def _sheet(line: FiledLine, data: bytes) -> SheetPdf:
    return SheetPdf(
        job_id=f"archive:{line.record_digest}",
        number_text=line.number_text,
        title_text=line.title_text,
        data=data,
        revision=line.revision,
        standing="signed",
        revisions=(),
        open_for_draft=False,
    )
