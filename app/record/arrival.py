"""What comes to an archive, checked before it is filed: every digest and every signature over the record.

The signatures inside the sheet, which take longest, may be left for later: the sheet's digest stands in the
issue, which is checked at once.
"""

from __future__ import annotations

from dataclasses import dataclass

from app.record import cms, pack, papers
from app.record.canonical import digest
from app.record.cms import Signature
from app.record.inspecting import Inspector, inspect_papers
from app.record.papers import Issued, Papers
from app.record.problem import Altered, CannotTell
from app.record.register import Register
from app.record.revision import Record
from app.record.signing import THE_ISSUE, THE_RECORD
from app.record.trust import Trust
from app.record.verdict import Inquiry


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """An evidence pack that was found genuine, taken apart.

    `signatures` stand with the sentence that says why each counted; `listed` is the list of people that came
    along, where an office known here signed it.
    """

    papers: Papers
    record: Record
    record_digest: str
    issued: Issued
    signatures: tuple[tuple[Signature, str], ...]
    listed: Register | None


def read_pack(data: bytes, trust: Trust, *, pages: bool = True) -> Arrived:
    """The pack, checked and taken apart.

    Altered with what was found, or CannotTell with what is missing, in the first sentence of the check.
    """
    given = pack.read_pack(data)
    inspector = Inspector(trust, Inquiry())
    inspect_papers(given, inspector, pages=pages)
    if inspector.inquiry.altered:
        raise Altered(inspector.inquiry.altered[0])
    if inspector.inquiry.missing:
        raise CannotTell(inspector.inquiry.missing[0])
    assert inspector.read is not None
    return Arrived(
        papers=given,
        record=inspector.read,
        record_digest=digest(given.record),
        issued=papers.from_bytes(given.issued or b""),
        signatures=tuple(_standing(given, inspector.trust)),
        listed=_listed(inspector.trust, given.register),
    )


def _standing(given: Papers, trust: Trust) -> list[tuple[Signature, str]]:
    signed = (
        (given.record, given.tested, THE_RECORD),
        (given.record, given.approved, THE_RECORD),
        (given.issued, given.issued_signature, THE_ISSUE),
    )
    found = []
    for content, signature, what in signed:
        checked = cms.check(content or b"", signature or b"", what=what)
        assert checked.at is not None
        found.append((checked, trust.standing(checked.certificate, meaning=checked.meaning, at=checked.at)))
    return found


def _listed(trust: Trust, data: bytes | None) -> Register | None:
    """The list that came along, if it is one that an office known here signed."""
    if data is None:
        return None
    before = {one.office_fingerprint: one for one in trust.registers}
    try:
        # Where an older one came along, the newer one known here stays.
        known = Trust(offices=trust.offices).with_register(data).registers
    except (Altered, CannotTell):
        return None
    return known[0] if known and known[0].office_fingerprint in before else None
