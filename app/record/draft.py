"""A job on its way between two computers that both work on it: the job file and all events of it, unsigned.

Format: one canonical JSON object {"format": "coreleaf-draft", "version": 1, "from_text": who handed it out,
"files": {name: base64}}. Version 2 where frozen revisions go along, each as "revision-<number>": the pack of
its issue, a signed job, or the bare record of one that nobody signed.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from app.record.canonical import canonical, digest, parse_canonical
from app.record.carried import is_name
from app.record.problem import CannotTell
from ctcore.errors import BadInput

FORMAT: Final = "coreleaf-draft"
VERSION: Final = 2
_BEFORE_REVISIONS: Final = 1
_REVISION: Final = re.compile(r"revision-([1-9][0-9]{0,3})")
_NAMES: Final[Mapping[str, str]] = {"job.json": "job", "events.json": "events"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """The files of a draft; `attached` has photographs and the like by the name under which they travel.

    `revisions` has the frozen revisions by number.
    """

    from_text: str
    job: bytes
    events: bytes
    attached: Mapping[str, bytes] = field(default_factory=dict)
    revisions: Mapping[int, bytes] = field(default_factory=dict)


def to_bytes(draft: Draft) -> bytes:
    """The draft as the bytes of one file."""
    here = {name: getattr(draft, attribute) for name, attribute in _NAMES.items()}
    here |= {f"revision-{number}": data for number, data in draft.revisions.items()}
    files = {
        name: base64.b64encode(data).decode("ascii") for name, data in {**here, **draft.attached}.items()
    }
    version = VERSION if draft.revisions else _BEFORE_REVISIONS
    return canonical({"format": FORMAT, "version": version, "from_text": draft.from_text, "files": files})


def from_bytes(data: bytes) -> Draft:
    """The draft of a file; CannotTell where it is none, half of one, or of a newer program."""
    try:
        structure: Any = parse_canonical(data, where="draft")
        if structure["format"] != FORMAT:
            raise CannotTell("This is no draft of a job.")
        if structure["version"] not in (_BEFORE_REVISIONS, VERSION):
            raise CannotTell("The draft was made by a newer Coreleaf: ask for it as a job file.")
        files = {name: base64.b64decode(text, validate=True) for name, text in structure["files"].items()}
        attached = {name: data for name, data in files.items() if is_name(name)}
        if any(digest(data) not in name for name, data in attached.items()):
            raise CannotTell("A file attached to the draft is not the one it is named after: copy it again.")
        revisions = {int(found[1]): files[name] for name in files if (found := _REVISION.fullmatch(name))}
        others = {name: data for name, data in files.items() if name not in attached}
        named = {_NAMES[name]: data for name, data in others.items() if not _REVISION.fullmatch(name)}
        return Draft(from_text=str(structure["from_text"]), attached=attached, revisions=revisions, **named)
    except (BadInput, KeyError, TypeError, ValueError, AttributeError) as problem:
        raise CannotTell("The draft is damaged or not whole: copy it again.") from problem
