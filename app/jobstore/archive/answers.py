"""What the archive answers with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from app.record.cms import Signature
from app.record.papers import Issued, Papers
from app.record.register import Register
from app.record.revision import Record

Outcome = Literal["filed", "passed_on", "refused"]
Standing = Literal["current", "superseded", "void"]
# Parts that somebody plays in a record, as they are searched.
PARTS: Final = ("tested", "approved", "witnessed", "named")


@dataclass(frozen=True, slots=True, kw_only=True)
class Deposit:
    """Bytes that came in, from which computer and when."""

    deposit_no: int
    digest_hex: str
    data: bytes
    device_text: str
    arrived_at_utc: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the office said last about a deposit; `receipt` and its signature only where it was filed."""

    digest_hex: str
    outcome: Outcome
    sentence_text: str
    at_utc: str
    record_digest: str | None = None
    leaf_no: int | None = None
    receipt: bytes | None = None
    receipt_signature: bytes | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Filing:
    """One deposit that was found genuine, read and ready to be filed."""

    deposit: Deposit
    papers: Papers
    record: Record
    record_digest: str
    issued: Issued
    signatures: tuple[tuple[Signature, str], ...]
    """Each signature with the sentence that says why its certificate counted."""
    listed: Register | None = None
    """The list of people that came along, where an office known here signed it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FiledLine:
    """One signed record of the archive, as a list shows it."""

    leaf_no: int
    record_digest: str
    job_id: str
    revision: int
    number_text: str
    title_text: str
    site_text: str
    tested_on: str
    issued_at_utc: str
    tested_by_text: str
    approved_by_text: str
    worst: str
    standing: Standing
    core_count: int
