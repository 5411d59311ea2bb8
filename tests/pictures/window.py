"""Every page and dialog as a picture, by day and night: `python -m tests.pictures.window --out DIR`.

`--scale 2` draws at 200 %, so that a screen of 1366 x 768 holds 683 x 384 logical pixels.
"""

from __future__ import annotations

import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.pictures import asked, board, every, exchange, filed, offices, parts

# Timers up to this are waited for: what is noticed comes once the hand rests.
SHORT_MS = 150


def main() -> int:
    return asked.run("tests.pictures.window", __doc__, _draw)


def _draw(out: Path, theme_name: str, scale: int, width: int, only: str) -> int:
    height = dict(asked.SIZES)[width]
    out.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as folder,
        opened_stage(Path(folder), theme_name, width // scale, height // scale) as stage,
    ):
        stage.out, stage.suffix = out, f"{width}-{theme_name}-{scale}00"
        for name, scene in SCENES.items():
            if only in name:
                scene(stage)
                stage.shoot(name)
    return 0


@contextmanager
def opened_stage(
    folder: Path,
    theme_name: str,
    width: int,
    height: int,
    *,
    person_name_text: str = "J. Velde",
    sample: str | None = "line_bay",
) -> Iterator[Stage]:
    """The window with the sample job open; it is gone afterwards."""
    from PySide6.QtCore import QEvent
    from PySide6.QtWidgets import QApplication

    from app.settings import Settings
    from app.ui import theme
    from app.ui.window import MainWindow

    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    settings = Settings.load(folder)
    settings.change(
        organisation_text="Tarnbeck Test Services",
        organisation_address_text="Mill Lane 4, Tarnbeck",
        organisation_mark_text="TTS",
        person_name_text=person_name_text,
        theme=theme_name,
    )
    theme.load_fonts()
    theme.apply(app, theme_name, "field")
    window = MainWindow(settings)
    window.resize(width, height)
    window.show()
    stage = Stage(app, window)
    window.session.open_store(folder, sample=sample)
    session = window.session
    stage.wait(lambda: session.desk is not None and (sample is None or session.view is not None))
    try:
        yield stage
    finally:
        window.leaving.answered = True
        window.close()
        window.deleteLater()
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


class Stage:
    """A window to draw, and how to wait for it."""

    def __init__(self, app, window) -> None:
        self.app, self.window = app, window
        self.out, self.suffix = Path(), ""

    def wait(self, condition: Callable[[], object], seconds: float = 20.0) -> None:
        end = time.monotonic() + seconds
        while not condition() and time.monotonic() < end:
            self.app.processEvents()
            time.sleep(0.005)
        self.rest()

    def rest(self) -> None:
        """Until nothing is being written or asked for, no short timer runs, and everything is drawn."""
        end = time.monotonic() + 20.0
        self._turn()
        while self._more_comes() and time.monotonic() < end:
            time.sleep(0.002)
            self._turn()
        # What came last is laid out and drawn.
        for _ in range(3):
            self._turn()

    def _turn(self) -> None:
        from PySide6.QtCore import QEvent

        # Qt: outside of exec nothing that is marked for deletion goes by itself (6.11).
        self.app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        self.app.processEvents()

    def _more_comes(self) -> bool:
        from PySide6.QtCore import QTimer

        return (
            self.window.session.writer.busy
            or any(thread.daemon for thread in threading.enumerate())
            or any(
                timer.isActive() and timer.isSingleShot() and timer.interval() <= SHORT_MS
                for timer in self.window.findChildren(QTimer)
            )
        )

    def shoot(self, name: str) -> None:
        """The window, with the dialog that stands in front of it in its middle."""
        from PySide6.QtCore import QPoint
        from PySide6.QtGui import QPainter

        self.rest()
        front = self.app.activeModalWidget() or self.app.activePopupWidget()
        picture = self.window.grab()
        if front is not None:
            place = QPoint(
                (self.window.width() - front.width()) // 2, (self.window.height() - front.height()) // 2
            )
            painter = QPainter(picture)
            painter.drawPixmap(place, front.grab())
            painter.end()
            front.close()
            self.rest()
        picture.save(str(self.out / f"{name}-{self.suffix}.png"))

    def do(self, verb: str) -> None:
        self.window.deeds.do(verb)
        self.rest()

    def core(self, number: int, phase: str = "L3") -> str:
        job = self.window.session.view.job
        ct = next(ct for ct in job.positions[0].cts if ct.phase_text == phase)
        return next(core.core_id for core in ct.cores if core.number == number)


def _type_in(field, words: str) -> None:
    field.line.setText(words)
    field.line.setModified(True)
    field.line.entered.emit()


def _refused_class(stage: Stage) -> None:
    stage.do("plate")
    page = stage.window.page("plate")
    key = next(key for key in page.form.by_key if key[1] == "class_text")
    _type_in(page.form.by_key[key], "5P20 FS5 15 VA")


SCENES: dict[str, Callable[[Stage], object]] = {
    **board.SCENES,
    **parts.SCENES,
    **exchange.SCENES,
    "excitation": lambda stage: stage.window.go_to(stage.core(1), "excitation"),
    "ratio": lambda stage: stage.window.go_to(stage.core(1), "ratio"),
    "insulation": lambda stage: stage.window.go_to(stage.core(2), "insulation"),
    "readings-in": lambda stage: _readings_in(stage),
    "readings-pasted": lambda stage: _readings_pasted(stage),
    "jobs": lambda stage: stage.do("jobs"),
    "archive": lambda stage: stage.do("archive"),
    "fleet": lambda stage: stage.do("fleet"),
    "registers": lambda stage: stage.do("registers"),
    "plate": lambda stage: stage.do("plate"),
    "plate-refused": _refused_class,
    "title": lambda stage: stage.do("title"),
    "people": lambda stage: stage.do("people"),
    "keys": lambda stage: stage.window.show_page("keys"),
    "watched": lambda stage: _watched(stage),
    "leave": lambda stage: _leave(stage),
    "attached": lambda stage: _attached(stage),
    "viewer": lambda stage: (_attached(stage), stage.app.activeModalWidget()._look(), stage.rest()),
    "menu": lambda stage: stage.do("menu"),
    "new-job": lambda stage: stage.do("new_job"),
    "new-set": lambda stage: stage.do("add_set"),
    "take-in": lambda stage: stage.do("take_in"),
    "samples": lambda stage: stage.do("training"),
    "preferences": lambda stage: stage.do("preferences"),
    "first-run": lambda stage: _first_run(stage),
    "find": lambda stage: (stage.window.go_to(stage.core(1), "excitation"), stage.do("find")),
    "sheet": lambda stage: stage.do("sheet"),
    "field-forms": lambda stage: (stage.do("worksheet"), stage.do("field_forms")),
    "preview": lambda stage: _preview(stage),
    "preview-found": lambda stage: _preview_found(stage),
    "print": lambda stage: _print(stage),
    "no-printer": lambda stage: (_preview(stage), stage.do("preview")),
    "notices": lambda stage: stage.do("notices"),
    "copies": lambda stage: _copies(stage),
    "data-place": lambda stage: (stage.do("data_place"), stage.rest()),
    "move-data": lambda stage: (stage.do("data_place"), stage.window.page("data_place").move_all()),
    "about": lambda stage: stage.do("about"),
    "brought-back": lambda stage: _brought_back(stage),
    "sections": lambda stage: _sections(stage),
    "core": lambda stage: (stage.do("plate"), stage.window.page("plate")._add_core()),
    "hand-in": lambda stage: stage.do("hand_in"),
    "frozen": lambda stage: _freeze(stage),
    "handed-in": lambda stage: stage.window.go_to(stage.core(1), "excitation"),
    "plate-locked": lambda stage: stage.do("plate"),
    "revise": lambda stage: stage.do("revise"),
    **filed.SCENES,
    **offices.SCENES,
    **every.SCENES,
}


def _sections(stage: Stage) -> None:
    """A tapped winding with its sketch."""
    stage.do("plate")
    stage.window.page("plate")._add_sections()
    dialog = stage.app.activeModalWidget()
    dialog.sections.line.setText("40 20 100 80")
    dialog.sections.line.textEdited.emit("40 20 100 80")


def _copies(stage: Stage) -> None:
    """A copy that was just made and checked."""
    stage.do("copies")
    page = stage.window.page("copies")
    page.make()
    stage.wait(lambda: page.model.rowCount() > 0)


def _brought_back(stage: Stage) -> None:
    """A copy beside a store in which more was entered since."""
    _copies(stage)
    page = stage.window.page("copies")
    stage.window.session.do(lambda desk, job_id: desk.remark(job_id, "", "", "Terminal box was wet."))
    stage.rest()
    page.bring_back()
    stage.wait(lambda: stage.app.activeModalWidget() is not None)


def _preview(stage: Stage) -> None:
    stage.do("worksheet")
    stage.do("preview")
    behind = stage.window.page("preview").behind
    stage.wait(lambda: behind.file is not None and not behind.thread_behind.busy)


def _preview_found(stage: Stage) -> None:
    _preview(stage)
    page = stage.window.front
    page.paper.setFocus()
    page.paper.show_page(4)
    page.paper.show_percent(150.0)
    page.find_line.setText("600/1")
    stage.wait(lambda: page.hits and not page.behind.thread_behind.busy)
    stage.rest()


def _print(stage: Stage) -> None:
    from PySide6.QtPrintSupport import QPrinterInfo

    from app.ui.preview.print_dialog import PrintDialog

    class Office(QPrinterInfo):
        """A printer that no computer has."""

        def printerName(self) -> str:  # noqa: N802 - Qt's own name
            return "Office 2"

        def description(self) -> str:
            return "Office, second floor"

    _preview(stage)
    page = stage.window.front
    PrintDialog(stage.window, page.sheet, page.behind, [Office()]).open()


_EXPORT = """Logger 3;serial 77;;
Voltage;Current;Time;Note
[V];[mA];[s];
20,0;3,43;1;
80,0;9,12;2;steady
160,0;14o4;3;
"""


def _readings_in(stage: Stage) -> None:
    """A file with words above its headings, a line of units, and a cell that is no number."""
    stage.window.go_to(stage.core(1), "excitation")
    path = stage.window.settings.folder / "export.csv"
    path.write_text(_EXPORT, encoding="utf-8")
    stage.do("readings_in")
    _type_in(stage.app.activeModalWidget().path, str(path))


def _attached(stage: Stage) -> None:
    """A photograph that was struck and one that stands."""
    from PySide6.QtGui import QColor, QImage

    stage.window.go_to(stage.core(1), "excitation")
    view = stage.window.session.view
    if view is not None and not view.job.attached and view.read_only_reason is None:
        photo, core_id = QImage(1600, 1200, QImage.Format.Format_RGB32), stage.core(1)
        for name, colour in (("terminal box.png", "slategray"), ("plate of L3.png", "darkkhaki")):
            photo.fill(QColor(colour))
            path = stage.window.settings.folder / name
            photo.save(str(path))
            stage.window.session.do(
                lambda desk, job_id, path=path: desk.attach(job_id, path, core_id=core_id)
            )
            stage.rest()
        one = stage.window.session.view.job.attached[0]
        stage.window.session.do(
            lambda desk, job_id: desk.strike_attached(job_id, one, "that of the next bay")
        )
        stage.rest()
    stage.do("attached")


def _watched(stage: Stage) -> None:
    """A witness who watched the ratio on every core."""
    from app.ui.dialogs.watched import WatchedDialog
    from ctcore.job import Person

    dialog = WatchedDialog(stage.window, Person(person_id="w", name_text="W. Atcher"))
    dialog.model.toggle_column(3)
    dialog.open()


def _leave(stage: Stage) -> None:
    """The window is closed with half a reading in its field; the disk is full when it is kept."""
    stage.window.go_to(stage.core(1), "excitation")
    page = stage.window.front.page
    page.cursor_in_hand.focus_row(0)
    page.body.table.entry.fields[0].edit.fill("512")
    stage.window.close()
    stage.app.activeModalWidget().say(
        "Everything saved before is safe. The last entry was not saved: the disk is full. Free some room. "
        "The text still stands in its field, and the window stays open. Enter tries again."
    )


def _readings_pasted(stage: Stage) -> None:
    from PySide6.QtGui import QGuiApplication

    stage.window.go_to(stage.core(1), "excitation")
    QGuiApplication.clipboard().setText("20.0\t3.43\n80.0\t9,12\n160.0\t14.4\n")
    stage.window.front.page.cursor_in_hand.blocks.paste()


def _first_run(stage: Stage) -> None:
    from app.ui.dialogs.first_run import FirstRunDialog

    FirstRunDialog(stage.window).open()


def _freeze(stage: Stage) -> None:
    stage.do("hand_in")
    stage.app.activeModalWidget().confirmed.emit()
    stage.rest()


if __name__ == "__main__":
    sys.exit(main())
