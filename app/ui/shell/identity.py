"""Who sits at this computer. Another name is another person, so that nobody's readings change their name."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.ui.window import MainWindow


def become(window: MainWindow, name_text: str) -> None:
    """Keep the name; a person of that name who is known to the job keeps the number in the records."""
    settings, view = window.settings, window.session.view
    if name_text == settings.get("person_name_text"):
        return
    people = view.job.people if view is not None else ()
    known = next((person.person_id for person in people if person.name_text == name_text), "")
    nobody_before = not settings.get("person_name_text")
    settings.change(
        person_name_text=name_text, person_id=known or (settings.get("person_id") if nobody_before else "")
    )
    window.somebody_else_sits_here()
