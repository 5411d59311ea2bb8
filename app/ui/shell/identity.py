"""Who sits at this computer. Another name is another person, so that nobody's readings change their name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.settings import Settings

if TYPE_CHECKING:
    from app.desk import View


def become(settings: Settings, name_text: str, view: View | None) -> None:
    """Keep the name; a person of that name who is known to the job keeps the number in the records."""
    if name_text == settings.get("person_name_text"):
        return
    people = view.job.people if view is not None else ()
    known = next((person.person_id for person in people if person.name_text == name_text), "")
    nobody_before = not settings.get("person_name_text")
    settings.change(
        person_name_text=name_text, person_id=known or (settings.get("person_id") if nobody_before else "")
    )
