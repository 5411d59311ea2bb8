"""Who sits at this computer: people with a key here, and those who sat here lately; one of them at a time."""

from __future__ import annotations

import json
import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.desk.view import Refusal

if TYPE_CHECKING:
    from app.desk.desk import Desk
    from app.settings import Settings

# So many names of people without a key are remembered.
REMEMBERED: Final = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonHere:
    """One person who can sit here; `fingerprint` is that of the own key, empty where there is none here."""

    person_id: str
    name_text: str
    fingerprint: str
    sits_here: bool


def people_here(desk: Desk) -> tuple[PersonHere, ...]:
    """Who sits here first, then who has a key here, then who sat here lately."""
    me_id, me_text = desk.settings.me()
    with_keys = _with_keys(desk.key_folder)
    names = {me_id: me_text} if desk.settings.get("person_name_text") else {}
    names |= {person_id: name_text for person_id, (name_text, _) in with_keys.items() if person_id != me_id}
    for person_id, name_text in remembered(desk.settings):
        names.setdefault(person_id, name_text)
    return tuple(
        PersonHere(
            person_id=person_id,
            name_text=name_text,
            fingerprint=with_keys.get(person_id, ("", ""))[1],
            sits_here=person_id == me_id,
        )
        for person_id, name_text in names.items()
    )


def sit_down(desk: Desk, name_text: str, person_id: str = "") -> str:
    """From now on what is keyed stands under that person; returns the number in the records.

    Without a number the person is looked for by name: among those known here, then among those of the open
    jobs. Another name is another person, so that nobody's readings change their name.
    """
    name_text = name_text.strip()
    if not name_text:
        raise Refusal("Nothing was changed. Say the name as it stands on the sheet.")
    known = people_here(desk)
    if person_id and person_id not in {one.person_id for one in known}:
        raise Refusal("Nothing was changed. That person is not known at this computer.")
    found = person_id or next((one.person_id for one in known if one.name_text == name_text), "")
    found = found or desk.number_in_jobs(name_text)
    settings = desk.settings
    nobody_before = not settings.get("person_name_text")
    before = () if nobody_before else (settings.me(),)
    if not found:
        found = settings.me()[0] if nobody_before else str(uuid.uuid4())
    kept = dict(remembered(settings))
    for number, name in (*before, (found, name_text)):
        kept.pop(number, None)
        kept = {number: name} | kept
    listed = json.dumps(list(kept.items())[:REMEMBERED], ensure_ascii=False)
    settings.change(person_id=found, person_name_text=name_text, people_text=listed)
    return found


def remembered(settings: Settings) -> list[tuple[str, str]]:
    """Who sat here lately, number and name, the last one first."""
    try:
        found = json.loads(settings.get("people_text") or "[]")
        return [(str(person_id), str(name_text)) for person_id, name_text in found]
    except (ValueError, TypeError):
        return []


def _with_keys(folder: Path) -> dict[str, tuple[str, str]]:
    """Name and fingerprint of everybody whose key lies here; a key that cannot be read is left out."""
    from app.record import people_keys
    from app.record.problem import KeyProblem

    found = {}
    for person_id in people_keys.people_in(folder):
        try:
            certificate = people_keys.load_certificate(folder, person_id)
        except KeyProblem:
            continue
        found[person_id] = (certificate.name_text, certificate.fingerprint)
    return found
