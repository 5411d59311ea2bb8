"""The one window: title block, message, the page in hand, status line. A page is made when first opened."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QKeyEvent, QKeySequence, QPaintEvent, QShortcut
from PySide6.QtWidgets import QApplication, QLayout, QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from app.settings import Settings, profile_folder
from app.ui import theme
from app.ui.archive.caller import ArchiveCaller
from app.ui.pages.jobs import JobsPage
from app.ui.shell.again import PlaceKeeper
from app.ui.shell.copier import Copier
from app.ui.shell.deeds import Deeds
from app.ui.shell.faults import Faults
from app.ui.shell.folder_watch import FolderView, FolderWatch
from app.ui.shell.held_band import HeldBand
from app.ui.shell.leaving import Leaving
from app.ui.shell.message_bar import MessageBar
from app.ui.shell.passphrase import TriesBook
from app.ui.shell.sender import Sender, SendingView
from app.ui.shell.session import Session
from app.ui.shell.status_line import StatusLine
from app.ui.shell.title_block import TitleBlock
from app.ui.shell.verbs import VERBS
from app.ui.shell.works import Works
from app.ui.texts import text
from app.ui.walkthrough.walk import Walk
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change

# Qt: only Qt may be imported before the first paint, so a page's module is loaded when it is first opened.
PAGES: Final = {
    "worksheet": ("app.ui.pages.worksheet", "WorksheetHolder"),
    "board": ("app.ui.pages.board", "BoardPage"),
    "plate": ("app.ui.pages.plate", "PlatePage"),
    "references": ("app.ui.pages.references", "ReferencesPage"),
    "title": ("app.ui.pages.title", "TitlePage"),
    "people": ("app.ui.pages.people", "PeoplePage"),
    "keys": ("app.ui.pages.keys", "KeysPage"),
    "help": ("app.ui.pages.help", "HelpPage"),
    "review": ("app.ui.pages.review", "ReviewPage"),
    "preview": ("app.ui.preview.page", "PreviewPage"),
    "trail": ("app.ui.pages.trail", "TrailPage"),
    "check": ("app.ui.pages.check", "CheckPage"),
    "my_key": ("app.ui.pages.my_key", "MyKeyPage"),
    "office": ("app.ui.pages.office", "OfficePage"),
    "sending": ("app.ui.pages.sending", "SendingPage"),
    "exchange": ("app.ui.pages.exchange", "ExchangePage"),
    "copies": ("app.ui.pages.copies", "CopiesPage"),
    "archive": ("app.ui.pages.archive", "ArchivePage"),
    "filed": ("app.ui.pages.filed", "FiledPage"),
    "years": ("app.ui.pages.years", "YearsPage"),
    "fleet": ("app.ui.pages.fleet", "FleetPage"),
    "registers": ("app.ui.pages.registers", "RegistersPage"),
    "data_place": ("app.ui.pages.data_place", "DataPlacePage"),
}

# Pages that show more than one core of a job, or none of it.
APART: Final = (
    "review", "preview", "trail", "check", "my_key", "office", "copies", "archive", "filed", "years",
    "data_place", "fleet", "registers", "sending", "exchange",
)  # fmt: skip

# Pages that are about no job, or about one of the archive.
OF_NO_JOB: Final = ("jobs", "archive", "filed", "fleet")

# A screen of 1366 x 768 at 200 %, less the frame of the window.
SMALLEST: Final = (640, 340)


class MainWindow(QWidget):
    """Shows the job on the table and hands every key and button to the verb that it stands for."""

    painted = Signal()

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self.settings = settings
        self.session = Session(settings, self)
        self.copier = Copier(settings, self)
        self.archive = ArchiveCaller(settings, self)
        self.sending = Sender(self.session, self)
        self.folder = FolderWatch(settings, self)
        self.deeds = Deeds(self)
        self.leaving = Leaving(self)
        self.faults = Faults(self)
        self.tries = TriesBook(profile_folder(settings.folder) / "tries.json")
        self.title = TitleBlock(training=settings.training)
        self.bar = MessageBar()
        self.held = HeldBand()
        self.status = StatusLine(training=settings.training)
        self.keeper = PlaceKeeper(self)
        self.jobs = JobsPage()
        self.stack = QStackedWidget()
        self.place: tuple[str, str] = ("", "")
        self.walk = Walk(self)
        self.works = Works(self)
        self._pages: dict[str, Any] = {"jobs": self.jobs}
        self._before = "jobs"
        self._job_id = ""
        self._was_painted = False
        self._lay_out()
        self._connect()
        self.setWindowTitle(text("training.window" if settings.training else "app.name"))
        self.resize(1366, 768)
        self.show_page("jobs")

    # Pages

    @property
    def front(self) -> Any:
        """The page in hand itself."""
        return self.stack.currentWidget()

    @property
    def page_id(self) -> str:
        """The page in hand."""
        return str(self.front.page_id)

    def page(self, page_id: str) -> Any:
        """A page, made now if it was never opened."""
        if page_id not in self._pages:
            module, name = PAGES[page_id]
            made = getattr(importlib.import_module(module), name)(self)
            self._pages[page_id] = made
            self.stack.addWidget(made)
            if self.session.view is not None and hasattr(made, "show_change"):
                with self.faults.guarding(made):
                    made.show_change(self._whole_change())
        return self._pages[page_id]

    def draw_anew(self, view: QWidget) -> None:
        """Draw a view again from what is on the disk; a page is made anew, so that nothing broken stays."""
        page_id = next((name for name, page in self._pages.items() if page is view), "")
        if page_id and page_id != "jobs":
            in_front = view is self.front
            if hasattr(view, "let_go"):
                view.let_go()
            self._pages.pop(page_id)
            self.stack.removeWidget(view)
            view.deleteLater()
            made = self.page(page_id)
            if in_front:
                self.stack.setCurrentWidget(made)
            with self.faults.guarding(made):
                if in_front and page_id == "worksheet" and self.place[0]:
                    self.go_to(*self.place)
                elif in_front:
                    self.show_page(page_id)
        else:
            view.update()
        self.session.refresh()

    def show_page(self, page_id: str) -> None:
        """Put a page in hand and the focus on its first field."""
        page = self.page(page_id)
        if page_id != self.page_id:
            self._before = self.page_id
            self.bar.go_on()
        self.stack.setCurrentWidget(page)
        self.session.log.note("page", page_id)
        self._tell_title()
        self.walk.look()
        page.first_focus()

    def go_back(self) -> None:
        """From a page beside the work back to the worksheet, or to the list of jobs."""
        if self.page_id in ("keys", "help"):
            self.show_page(self._before)
        elif hasattr(self.front, "came_from"):
            self.show_page(self.front.came_from)
        elif self.page_id not in ("jobs", "worksheet") and self.session.view is not None:
            self.show_page("worksheet" if self.place[0] else "jobs")
        elif self.page_id in APART:
            self.show_page("jobs")

    def open_job(self, job_id: str) -> None:
        """Put a job on the table; one that is there already is only shown again."""
        if job_id == self._job_id and self.session.view is not None:
            self._open_first()
        else:
            self.session.open_job(job_id)

    def go_to(self, core_id: str, procedure_id: str = "") -> None:
        """Open the worksheet of a core; at the test named, else at the one that was in hand."""
        self.place = (core_id, procedure_id or self.place[1])
        page = self.page("worksheet")
        page.show_place(*self.place)
        self.show_page("worksheet")

    def go_to_plate(self, ct_id: str) -> None:
        """Open the plate of a transformer."""
        self.page("plate").show_ct(ct_id)
        self.show_page("plate")

    def follow(self, core_id: str, procedure_id: str) -> None:
        """The worksheet went to another core or test: the title block follows."""
        self.place = (core_id, procedure_id)
        self._tell_title()

    # What the session tells

    def _connect(self) -> None:
        session = self.session
        session.listed.connect(self.jobs.show_lines)
        session.changed.connect(self._show_change)
        session.said.connect(self.bar.say)
        session.missing.connect(self.deeds.store_missing)
        session.broke.connect(self.deeds.report)
        self.archive.broke.connect(self.deeds.report)
        session.writer.saving.connect(self.status.show_saving)
        session.opened.connect(self._take_store)
        session.opened.connect(self.deeds.ask_first)
        session.changed.connect(self.copier.note_change)
        self.copier.said.connect(self.bar.say)
        self.copier.made.connect(self.status.show_copies)
        session.changed.connect(self.sending.note_change)
        self.sending.told.connect(self._show_sending)
        self.folder.told.connect(self._show_folder)
        self.jobs.open_asked.connect(self.open_job)
        self.jobs.verb_asked.connect(self.deeds.do)
        self.title.asked.connect(self.deeds.do)
        self.held.asked.connect(lambda verb: getattr(self.deeds, verb)())
        self.bar.put_away.connect(lambda: self.front.first_focus())
        for verb in VERBS:
            if verb.key:
                shortcut = QShortcut(QKeySequence(verb.key), self)
                shortcut.activated.connect(lambda verb_id=verb.verb_id: self.deeds.do(verb_id))
        theme.current().changed.connect(self._dress)

    def _take_store(self) -> None:
        """The store is open: copies are made from now on, and what cannot be done here says so."""
        assert self.session.desk is not None
        store = self.session.desk.store
        self.copier.watch(store)
        self.sending.watch()
        self.folder.watch()
        self.jobs.show_read_only(store.read_only)

    def _show_sending(self, view: SendingView) -> None:
        self.status.show_sending(view.words)
        self.jobs.show_sent(view.lines)

    def _show_folder(self, view: FolderView) -> None:
        self.status.show_folder(view.words)

    def _show_change(self, change: Change) -> None:
        if change.saved_at_text:
            self.bar.go_on()
        if change.outline_changed:
            self._settle_place(change)
        for page in list(self._pages.values()):
            if hasattr(page, "show_change"):
                with self.faults.guarding(page):
                    page.show_change(change)
        self.status.show_saved(self.session.saved_at_text)
        self._tell_title()
        if change.view.job.job_id != self._job_id:
            self._job_id = change.view.job.job_id
            self._open_first()

    def _settle_place(self, change: Change) -> None:
        cores = [core for position in change.view.job.positions for ct in position.cts for core in ct.cores]
        if self.place[0] not in {core.core_id for core in cores}:
            self.place = (cores[0].core_id if cores else "", "")

    def _open_first(self) -> None:
        """A job that was just put on the table opens at its worksheet; one without cores at its plates."""
        if self.page_id in ("review", "preview"):
            return
        if self.place[0]:
            self.go_to(*self.place)
        else:
            self.show_page("plate")

    def _whole_change(self) -> Change:
        from app.desk import Change

        assert self.session.view is not None
        return Change(view=self.session.view, outline_changed=True)

    def somebody_else_sits_here(self) -> None:
        """Another person sits down: what is read-only for one is not so for the other, on every page."""
        self._tell_title()
        self.session.refresh()

    # Around the page

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        # A page that was opened once may want more room than there is; it folds or scrolls instead.
        column.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        self.setMinimumSize(*SMALLEST)
        self.stack.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.stack.addWidget(self.jobs)
        column.addWidget(self.title)
        column.addWidget(self.bar)
        column.addWidget(self.held)
        column.addWidget(self.stack, 1)
        column.addWidget(self.status)

    def put_at_foot(self, panel: QWidget) -> None:
        """Lay a low panel between the page and the status line."""
        column = self.layout()
        assert isinstance(column, QVBoxLayout)
        column.insertWidget(column.indexOf(self.status), panel)

    def _tell_title(self) -> None:
        view = self.session.view
        self.keeper.note()
        self.title.show_who(self.settings.get("person_name_text"))
        self.held.put(view, self.page_id, self.settings.me()[1])
        if view is None or self.page_id in OF_NO_JOB or self._shows_another_job():
            self.title.show_cells()
            self.status.show_limits("")
        else:
            from app.ui.shell.titles import limits_words, title_cells

            core_id = "" if self.page_id in APART else self.place[0]
            self.title.show_cells(**title_cells(view, core_id))
            locked = "" if self.held.isVisibleTo(self) else retold(view.read_only_reason or "")
            self.status.show_limits(locked or limits_words(view))
        self.title.buttons["undo"].set_reason("" if view and view.can_undo_text else text("title.no_undo"))
        self.title.buttons["redo"].set_reason("" if view and view.can_redo_text else text("title.no_redo"))

    def _shows_another_job(self) -> bool:
        """Whether the page in hand shows the sheet of a job that is not on the table."""
        return self.page_id == "preview" and self.front.job_id != self.session.job_id

    def _dress(self) -> None:
        for widget in self.findChildren(QWidget):
            widget.update()

    # Qt

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape goes back."""
        if event.key() == Qt.Key.Key_Escape:
            self.go_back()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The first paint is told once, after it is on the screen."""
        if not self._was_painted:
            self._was_painted = True
            QTimer.singleShot(0, self.painted.emit)

    def closeEvent(self, event: QCloseEvent) -> None:
        """What is half typed is asked about; everything asked for is written before the window goes."""
        if not self.leaving.may_close():
            event.ignore()
            return
        self.faults.let_go()
        self.works.close()
        self.keeper.forget()
        for page in self._pages.values():
            if hasattr(page, "let_go"):
                page.let_go()
        QApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            self.sending.close()
            self.folder.close()
            self.session.close()
            self.copier.close()
            self.archive.close()
        finally:
            QApplication.restoreOverrideCursor()
        event.accept()
