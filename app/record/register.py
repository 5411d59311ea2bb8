"""The office's list of people: whose certificate is whose, and who was ended, when and why.

Format: one JSON object {"list": {...}, "signature": base64 of a CMS signature by the office over the
canonical bytes of "list"}. Lists are numbered; the highest number counts.
"""

from __future__ import annotations

import base64
import datetime as dt
from dataclasses import dataclass
from typing import Any, Final

from app.record import certificates, cms
from app.record.canonical import canonical, parse_canonical
from app.record.instants import instant_of, utc_text
from app.record.people_keys import Unlocked
from app.record.problem import Altered, CannotTell
from ctcore.errors import BadInput

FORMAT: Final = "coreleaf-register"
VERSION: Final = 1
_WHAT: Final = "the office's list of people"


@dataclass(frozen=True, slots=True)
class Line:
    """One certificate that the office gave out. `ended_utc` is None while it is in force."""

    fingerprint: str
    key_fingerprint: str
    person_id: str
    name_text: str
    enrolled_utc: dt.datetime
    ended_utc: dt.datetime | None = None
    reason_text: str = ""


@dataclass(frozen=True, slots=True)
class Register:
    """The list with its number and date; `office_fingerprint` is that of the office which signed it."""

    number: int
    made_utc: dt.datetime
    office_fingerprint: str
    lines: tuple[Line, ...] = ()

    def line(self, fingerprint: str) -> Line | None:
        """The line of a certificate."""
        return next((one for one in self.lines if one.fingerprint == fingerprint), None)


def to_bytes(register: Register, office: Unlocked) -> bytes:
    """The list signed by the office."""
    plain = _plain(register)
    signature = cms.sign(canonical(plain), office, meaning="issued", at=register.made_utc)
    return canonical({"list": plain, "signature": base64.b64encode(signature).decode("ascii")})


def from_bytes(data: bytes, office_der: bytes) -> Register:
    """The list of a file; Altered where the office did not sign it so, CannotTell where it is another's."""
    try:
        structure = parse_canonical(data, where="list of people")
        plain, signature = structure["list"], base64.b64decode(structure["signature"], validate=True)
        checked = cms.check(canonical(plain), signature, what=_WHAT)
        if checked.certificate.fingerprint != certificates.certificate_of(office_der).fingerprint:
            raise CannotTell("The list of people is that of another office.")
        if plain["format"] != FORMAT or plain["version"] != VERSION:
            raise CannotTell("The office's list of people was made by a newer Coreleaf.")
        register = _read(plain, checked.certificate.fingerprint)
    except (BadInput, KeyError, TypeError, ValueError) as problem:
        raise Altered("The office's list of people is damaged.") from problem
    return register


def _plain(register: Register) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "version": VERSION,
        "number": register.number,
        "made_utc": utc_text(register.made_utc),
        "people": [
            {
                "fingerprint": line.fingerprint,
                "key_fingerprint": line.key_fingerprint,
                "person_id": line.person_id,
                "name_text": line.name_text,
                "enrolled_utc": utc_text(line.enrolled_utc),
                "ended_utc": None if line.ended_utc is None else utc_text(line.ended_utc),
                "reason_text": line.reason_text,
            }
            for line in register.lines
        ],
    }


def _read(plain: dict[str, Any], office_fingerprint: str) -> Register:
    lines = tuple(
        Line(
            fingerprint=one["fingerprint"],
            key_fingerprint=one["key_fingerprint"],
            person_id=one["person_id"],
            name_text=one["name_text"],
            enrolled_utc=instant_of(one["enrolled_utc"]),
            ended_utc=None if one["ended_utc"] is None else instant_of(one["ended_utc"]),
            reason_text=one["reason_text"],
        )
        for one in plain["people"]
    )
    return Register(int(plain["number"]), instant_of(plain["made_utc"]), office_fingerprint, lines)
