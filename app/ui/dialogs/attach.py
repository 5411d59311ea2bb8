"""Which file is attached, to the step in hand."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from app.ui.dialogs.path import PathDialog
from app.ui.shell.titles import place_of
from app.ui.texts import text
from app.words import in_line, procedure

if TYPE_CHECKING:
    from app.ui.window import MainWindow


def open_attach_dialog(window: MainWindow) -> None:
    """Ask for the file; a refusal stands at its field."""
    view = window.session.view
    assert view is not None
    core_id, procedure_id = window.place
    place = place_of(view, core_id)
    where = text("attach.job")
    if place is not None:
        where = f"{place.position.name_text}, {place.ct.phase_text}, core {place.core.number}"
        if procedure_id:
            where = f"{where}, {in_line(procedure(procedure_id).name)}"
    dialog = PathDialog(
        text("attach.heading"), text("attach.intro", where=where), main=text("attach.main"), saving=False,
        kind="*.jpg *.jpeg *.png *.pdf", parent=window,
    )  # fmt: skip

    def attach(path: Path) -> None:
        window.session.do(
            lambda desk, job_id: desk.attach(
                job_id, path, core_id=core_id if place else "", procedure_id=procedure_id if place else ""
            ),
            refused=dialog.refuse,
            done=lambda _change: dialog.accept(),
        )

    dialog.path_chosen.connect(attach)
    dialog.open()
