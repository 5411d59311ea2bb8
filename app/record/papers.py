"""All that belongs to one revision, and what its issue says about it.

Format: `issued.json` is canonical JSON {"format": "coreleaf-issued", "version": 1, ...} with the SHA-256 of
every file of the revision, who tested and approved, when, and the decision; the approver signs it last.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal, get_args

from app.record.canonical import canonical, digest, parse, parse_canonical
from app.record.cms import Signature
from app.record.instants import utc_text
from app.record.problem import Altered, CannotTell
from ctcore.errors import BadInput

Decision = Literal["approved", "approved with concessions"]
DECISIONS: Final[tuple[Decision, ...]] = get_args(Decision)
ISSUED_FORMAT: Final = "coreleaf-issued"
VERSION: Final = 1

# The files of a revision by the names they have in a pack; `Papers` has a field for each.
NAMES: Final[Mapping[str, str]] = {
    "record.json": "record",
    "record.p7s": "tested",
    "approved.p7s": "approved",
    "sheet.pdf": "sheet",
    "issued.json": "issued",
    "issued.p7s": "issued_signature",
    "events.json": "events",
    "README.txt": "readme",
    "office-ca.pem": "office",
    "office-register.json": "register",
}
# What the issue has to name, what it may name, and what cannot be named in it.
NEEDED: Final = ("record.json", "record.p7s", "approved.p7s", "sheet.pdf")
NOT_COVERED: Final = ("issued.json", "issued.p7s", "office-register.json")


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """The files of one revision; those that are not there are None, attached ones by their name."""

    record: bytes
    tested: bytes | None = None
    approved: bytes | None = None
    sheet: bytes | None = None
    issued: bytes | None = None
    issued_signature: bytes | None = None
    events: bytes | None = None
    readme: bytes | None = None
    office: bytes | None = None
    register: bytes | None = None
    attached: Mapping[str, bytes] = field(default_factory=dict)

    def files(self) -> dict[str, bytes]:
        """The files that are there by their names."""
        here = {name: getattr(self, field) for name, field in NAMES.items()}
        return {name: data for name, data in here.items() if data is not None} | dict(self.attached)


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """Who signed a record, when, and with which certificate."""

    person_id: str
    name_text: str
    at_utc: str
    fingerprint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Issued:
    """What the issue of a revision says. `files` holds a digest per name."""

    job_id: str
    number_text: str
    revision: int
    tested: Signed
    approved: Signed
    decision: str
    concessions_text: str
    issued_at_utc: str
    files: dict[str, str]


def signed_of(signature: Signature) -> Signed:
    """Who made a signature that states its time."""
    assert signature.at is not None
    return Signed(
        person_id=signature.certificate.person_id,
        name_text=signature.certificate.name_text,
        at_utc=utc_text(signature.at),
        fingerprint=signature.certificate.fingerprint,
    )


def digests(papers: Papers) -> dict[str, str]:
    """The digest of every file that an issue covers."""
    return {name: digest(data) for name, data in papers.files().items() if name not in NOT_COVERED}


def with_issue(papers: Papers, issued: bytes, signature: bytes) -> Papers:
    """The papers together with their issue."""
    return dataclasses.replace(papers, issued=issued, issued_signature=signature)


def to_bytes(issued: Issued) -> bytes:
    """The canonical bytes of the issue."""
    return canonical({"format": ISSUED_FORMAT, "version": VERSION, **dataclasses.asdict(issued)})


def from_bytes(data: bytes) -> Issued:
    """The issue of canonical bytes; Altered where they are none, CannotTell for a newer program's."""
    try:
        structure = parse(data, where="issue")
        if isinstance(structure, dict) and structure.get("version") not in (None, VERSION):
            raise CannotTell("The issue was made by a newer Coreleaf.")
        issued = _read(parse_canonical(data, where="issue"))
        if to_bytes(issued) != data:
            raise BadInput("issue", "names", "are not those that this program writes")
    except (BadInput, KeyError, TypeError, AttributeError) as problem:
        raise Altered("The issue is not in the form that this program writes.") from problem
    return issued


def _read(structure: dict[str, Any]) -> Issued:
    issued = Issued(
        job_id=_text(structure["job_id"]),
        number_text=_text(structure["number_text"]),
        revision=int(structure["revision"]),
        tested=Signed(**{name: _text(value) for name, value in structure["tested"].items()}),
        approved=Signed(**{name: _text(value) for name, value in structure["approved"].items()}),
        decision=_text(structure["decision"]),
        concessions_text=_text(structure["concessions_text"]),
        issued_at_utc=_text(structure["issued_at_utc"]),
        files={name: _text(value) for name, value in structure["files"].items()},
    )
    if issued.decision not in DECISIONS:
        raise BadInput("issue.decision", issued.decision, f"one of {', '.join(DECISIONS)} is wanted")
    return issued


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise BadInput("issue", value, "text is wanted here")
    return value
