"""A job that travels signed: the record with the tester's signature, its events, and the approver's answer.

Format: one canonical JSON object {"format": "coreleaf-signed-job", "version": 1, "files": {name: base64}}.
"""

from __future__ import annotations

import base64
import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from app.record.canonical import canonical, parse_canonical
from app.record.carried import is_name
from app.record.problem import CannotTell
from ctcore.errors import BadInput

FORMAT: Final = "coreleaf-signed-job"
VERSION: Final = 1
_NAMES: Final[Mapping[str, str]] = {
    "record.json": "record",
    "record.p7s": "tested",
    "sheet.pdf": "sheet",
    "events.json": "events",
    "sent-back.json": "sent_back",
    "sent-back.p7s": "sent_back_signature",
    "office-register.json": "register",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedJob:
    """The files of a job on its way; `sent_back` and its signature only on the way back to who tested.

    `attached` has photographs and certificates by the name under which they travel.
    """

    record: bytes
    tested: bytes
    sheet: bytes | None = None
    events: bytes | None = None
    sent_back: bytes | None = None
    sent_back_signature: bytes | None = None
    register: bytes | None = None
    attached: Mapping[str, bytes] = field(default_factory=dict)


def to_bytes(job: SignedJob) -> bytes:
    """The job as the bytes of one file."""
    here = {name: getattr(job, field) for name, field in _NAMES.items()}
    files = {
        name: base64.b64encode(data).decode("ascii")
        for name, data in {**here, **job.attached}.items()
        if data is not None
    }
    return canonical({"format": FORMAT, "version": VERSION, "files": files})


def from_bytes(data: bytes) -> SignedJob:
    """The job of a file; CannotTell where it is none or of a newer program. Nothing is checked yet."""
    try:
        structure: Any = parse_canonical(data, where="signed job")
        if structure["format"] != FORMAT:
            raise CannotTell("This is no signed job file.")
        if structure["version"] != VERSION:
            raise CannotTell("The signed job file was made by a newer Coreleaf.")
        files = {name: base64.b64decode(text, validate=True) for name, text in structure["files"].items()}
        attached = {name: data for name, data in files.items() if is_name(name)}
        known = {_NAMES[name]: data for name, data in files.items() if name not in attached}
        job = SignedJob(**known, attached=attached)
    except (BadInput, KeyError, TypeError, ValueError, AttributeError) as problem:
        raise CannotTell("The signed job file is damaged or was written by another program.") from problem
    return job


def with_answer(job: SignedJob, sent_back: bytes, signature: bytes) -> SignedJob:
    """The job on its way back to who tested it."""
    return dataclasses.replace(job, sent_back=sent_back, sent_back_signature=signature)
