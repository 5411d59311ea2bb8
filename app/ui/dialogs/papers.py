"""Sheet and job file on their way out: where to, and what came of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices

from app.desk.folder import safe_name
from app.record.files import write_whole
from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.path import PathDialog, in_folder
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Desk, View
    from app.desk.printing import SheetPdf
    from app.ui.window import MainWindow


class DoneDialog(DialogFrame):
    """Says where a file stands now, and opens it."""

    def __init__(self, heading: str, path: Path, *, main: str, window: MainWindow) -> None:
        super().__init__(heading, main=main, width=760, parent=window)
        self.path = path
        self.body.addWidget(Words(str(path), role="value", bold=True))
        self.cancel.set_words(text("dialog.close"))
        self.confirmed.connect(self._open)

    def _open(self) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.path)))
        self.accept()


def file_name(view: View, ending: str) -> str:
    """A name for a file of this job: number, and the revision or that it is a draft."""
    frozen = view.job.state in ("handed_in", "approved", "issued") and view.revisions
    state = text("papers.revision", number=view.revisions[-1].revision) if frozen else text("papers.draft")
    return f"{safe_name(view.job.header.number_text)} {state}{ending}"


def open_sheet_dialog(window: MainWindow) -> None:
    """Ask where the sheet goes, write it beside the writer, and offer to open it."""
    view = window.session.view
    assert view is not None
    job_id = view.job.job_id
    dialog = _dialog(window, "sheet", file_name(view, ".pdf"), "*.pdf")
    dialog.path_chosen.connect(
        lambda path: window.works.made(
            "sheet", lambda desk: desk.sheet_writer(job_id, in_folder(path)), aside=dialog,
            done=lambda _path: _came(dialog, window, "sheet", path, text("sheet.open")),
            refused=dialog.refuse,
        )
    )  # fmt: skip
    dialog.open()


def open_shown_sheet_dialog(window: MainWindow, sheet: SheetPdf) -> None:
    """The same for a sheet that is on the screen: the very bytes that are seen."""
    state = (
        text("papers.draft") if sheet.standing == "draft" else text("papers.revision", number=sheet.revision)
    )
    _open_for(
        window, "sheet", f"{safe_name(sheet.number_text)} {state}.pdf", "*.pdf",
        lambda _desk, path: write_whole(path, sheet.data), main=text("sheet.open"),
    )  # fmt: skip


def open_job_file_dialog(window: MainWindow) -> None:
    """Ask where the job file goes and write it."""
    _open(
        window,
        "give_out",
        ".json",
        lambda desk, job_id, path: desk.export_job(job_id, path),
        main=text("give_out.open"),
    )


def open_draft_dialog(window: MainWindow) -> None:
    """Ask where the draft goes and write it; the exchange folder is offered where one is named."""
    _open(
        window,
        "hand_out",
        " handed out.json",
        lambda desk, job_id, path: desk.hand_out(job_id, path),
        main=text("give_out.open"),
        folder_text=window.settings.get("exchange_folder_text"),
    )


def open_signed_file_dialog(window: MainWindow) -> None:
    """Ask where the signed file that travels goes, and write it once more."""
    view = window.session.view
    assert view is not None
    ending = " issued.zip" if view.job.state == "issued" else " signed.json"
    _open(
        window,
        "write_signed",
        ending,
        lambda desk, job_id, path: desk.write_signed_file(job_id, path),
        main=text("give_out.open"),
    )


def _open(
    window: MainWindow,
    name: str,
    ending: str,
    verb: Callable[[Desk, str, Path], Any],
    *,
    main: str,
    folder_text: str = "",
) -> None:
    view = window.session.view
    assert view is not None
    job_id = view.job.job_id
    _open_for(
        window, name, file_name(view, ending), f"*{ending}", lambda desk, path: verb(desk, job_id, path),
        main=main, folder_text=folder_text,
    )  # fmt: skip


def _open_for(
    window: MainWindow,
    name: str,
    file: str,
    kind: str,
    verb: Callable[[Desk, Path], Any],
    *,
    main: str,
    folder_text: str = "",
) -> None:
    dialog = _dialog(window, name, file, kind, folder_text)
    dialog.path_chosen.connect(
        lambda path: window.session.fetch(
            window.works.watched(name, lambda desk: _write(desk, path, verb), aside=dialog),
            done=lambda _found: _came(dialog, window, name, path, main),
            refused=dialog.refuse,
        )
    )
    dialog.open()


def _dialog(window: MainWindow, name: str, file: str, kind: str, folder_text: str = "") -> PathDialog:
    folder = Path(folder_text).expanduser() if folder_text else window.settings.folder / "sheets"
    return PathDialog(
        text(f"{name}.heading"), text(f"{name}.intro"), main=text(f"{name}.main"), saving=True,
        start=folder / file, kind=kind, parent=window,
    )  # fmt: skip


def _came(dialog: PathDialog, window: MainWindow, name: str, path: Path, main: str) -> None:
    dialog.accept()
    DoneDialog(text(f"{name}.done"), path, main=main, window=window).open()


def _write(desk: Desk, path: Path, verb: Callable[[Desk, Path], Any]) -> None:
    verb(desk, in_folder(path))
