"""Each verb of the menu as one method of the same name; dialogs are loaded when they are first asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication

from app.ui.shell.exchange_deeds import ExchangeDeeds
from app.ui.shell.menu import build_menu
from app.ui.shell.office_deeds import OfficeDeeds
from app.ui.shell.program_deeds import ProgramDeeds
from app.ui.shell.verbs import VERBS
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow


_BRINGS_A_JOB: Final = ("new_job", "take_in", "training")


class Deeds(ProgramDeeds, OfficeDeeds, ExchangeDeeds):
    """What the window can be asked to do."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._rows = {verb.verb_id: verb for verb in VERBS}

    def do(self, verb_id: str) -> None:
        """Do one verb; one that wants a job says so where there is none."""
        self.window.bar.go_on()
        if self._rows[verb_id].wants_job and self.window.session.view is None:
            self.window.bar.note(text("session.no_job"))
            return
        if verb_id in _BRINGS_A_JOB and (reason := self._read_only_reason()):
            self.window.bar.say(text("session.read_only", reason=reason))
            return
        getattr(self, verb_id)()

    def report(self, problem: BaseException) -> None:
        """Write a report of a fault and say what is safe, where it failed."""
        self.window.faults.report(problem)

    def draw_again(self) -> None:
        """Draw every view again that failed."""
        self.window.faults.draw_again()

    def _read_only_reason(self) -> str:
        desk = self.window.session.desk
        return (desk.store.read_only_reason or "") if desk is not None else ""

    # Going somewhere

    def jobs(self) -> None:
        """The list of jobs."""
        self.window.session.list_jobs()
        self.window.show_page("jobs")

    def worksheet(self) -> None:
        """The readings of the core in hand."""
        if self.window.place[0]:
            self.window.go_to(*self.window.place)
        else:
            self.window.bar.note(text("window.no_core"))
            self.window.show_page("plate")

    def plate(self) -> None:
        """The plate of the core in hand."""
        self.window.page("plate").show_core(self.window.place[0])
        self.window.show_page("plate")

    def day(self) -> None:
        """The order of the tests of the core in hand, with their times."""
        from app.ui.dialogs.day import DayDialog

        if not self.window.place[0]:
            self.window.bar.note(text("window.no_core"))
            return
        DayDialog(self.window, self.window.place[0]).open()

    def references(self) -> None:
        """What the core in hand is compared with."""
        self.window.show_page("references")

    def attach(self) -> None:
        """Attach a photograph or certificate to the step in hand, or to the core."""
        from app.ui.dialogs.attach import open_attach_dialog

        open_attach_dialog(self.window)

    def attached(self) -> None:
        """The files attached to the job."""
        from app.ui.dialogs.attached import AttachedDialog

        AttachedDialog(self.window).open()

    def title(self) -> None:
        """The title block of the job."""
        self.window.show_page("title")

    def people(self) -> None:
        """Instruments and people."""
        self.window.show_page("people")

    def keys(self) -> None:
        """What every key does; again: back."""
        if self.window.page_id == "keys":
            self.window.go_back()
        else:
            self.window.show_page("keys")

    def help(self) -> None:
        """What every word means, its formula and source; again: back."""
        if self.window.page_id == "help":
            self.window.go_back()
        else:
            self.window.show_page("help")

    def find(self) -> None:
        """Find a job in the list, or a place in the job."""
        self.find_letters("")

    def find_letters(self, letters: str) -> None:
        """The same, with letters that were typed already."""
        view = self.window.session.view
        if self.window.page_id == "preview":
            self.window.front.go_to_find()
            return
        if self.window.page_id == "jobs" or view is None:
            self.window.show_page("jobs")
            self.window.jobs.go_to_search()
            return
        from app.ui.dialogs.find import FindDialog

        dialog = FindDialog(view, self.window)
        dialog.search.setText(letters)
        dialog.core_chosen.connect(self.window.go_to)
        dialog.ct_chosen.connect(self.window.go_to_plate)
        dialog.look_for(letters)

    def next_part(self) -> None:
        """The focus goes to the next part of the page."""
        parts = [part for part in self.window.front.parts() if part.area.isVisible()]
        focus = QApplication.focusWidget()
        here = next(
            (
                i
                for i, part in enumerate(parts)
                if part.area is focus or (focus and part.area.isAncestorOf(focus))
            ),
            -1,
        )
        if parts:
            parts[(here + 1) % len(parts)].go()

    def sets(self) -> None:
        """The grid of sets; from there the board, and back again."""
        front = self.window.front
        if self.window.page_id == "worksheet" and front.in_sets():
            self.board()
            return
        if self.window.page_id not in ("worksheet", "plate", "board"):
            self.worksheet()
        self.window.front.show_sets()

    def board(self) -> None:
        """Every box of the job."""
        self.window.show_page("board")
        self.window.front.go_to_worksheet_box()

    def menu(self) -> None:
        """Every verb with its key."""
        menu = build_menu(self, self.window)
        button = self.window.title.buttons["menu"]
        menu.popup(button.mapToGlobal(button.rect().bottomRight()) - QPoint(menu.sizeHint().width(), 0))
        menu.setActiveAction(menu.actions()[0])

    # Jobs

    def new_job(self) -> None:
        """Ask for number and title, then start the job."""
        from app.ui.dialogs.new_job import NewJobDialog

        NewJobDialog(self.window).open()

    def take_in(self) -> None:
        """Take in a job, a job handed in, an answer, what was issued."""
        from app.ui.dialogs.take_in import TakeInDialog

        TakeInDialog(self.window).open()

    def training(self) -> None:
        """Take the sample job in, or open it where it is here already."""
        from app.ui.dialogs.samples import SamplesDialog

        dialog = SamplesDialog(self.window)
        dialog.open()

    def add_set(self, core_classes: Sequence[str] = ()) -> None:
        """Add a set of transformers; a template may say which cores its sets have."""
        from app.ui.dialogs.new_set import NewSetDialog

        NewSetDialog(self.window, core_classes).open()

    def plates_in(self) -> None:
        """Plates of a whole board out of a list."""
        from app.ui.dialogs.plates_in import PlatesDialog

        PlatesDialog(self.window).open()

    def readings_in(self) -> None:
        """Readings of the test in hand out of a file."""
        if self.window.page_id != "worksheet":
            self.worksheet()
        if self.window.page_id == "worksheet":
            self.window.front.page.cursor_in_hand.blocks.from_file()

    # Papers

    def hand_in(self) -> None:
        """Sign the revision as tested, or freeze it."""
        from app.ui.dialogs.hand_in import HandInDialog, standing

        job_id = self.window.session.job_id or ""
        self.window.session.fetch(
            lambda desk: standing(desk, job_id),
            done=lambda found: HandInDialog(self.window, found).open(),
        )

    def revise(self) -> None:
        """Open a frozen job for a new revision, with a reason."""
        from app.ui.dialogs.reason import ReasonDialog

        dialog = ReasonDialog(
            text("revise.heading"), text("revise.intro"), main=text("revise.main"), parent=self.window
        )
        dialog.given.connect(
            lambda reason: self.window.session.do(
                lambda desk, job_id: desk.revise(job_id, reason),
                refused=dialog.say,
                done=lambda _change: dialog.accept(),
            )
        )
        dialog.open()

    def preview(self) -> None:
        """Show the sheet of the job on the table, in the list that of the line in hand; again: print it."""
        window = self.window
        if window.page_id == "preview":
            window.front.print_sheet()
            return
        job_id = window.jobs.job_in_hand if window.page_id == "jobs" else window.session.job_id
        if job_id is None:
            window.bar.say(text("session.no_job"))
            return
        page = window.page("preview")
        if window.page_id != "keys":
            page.came_from = window.page_id
        page.show_sheet(job_id)
        window.show_page("preview")

    def sheet(self) -> None:
        """Write the sheet as PDF: the one that is shown, else that of the job on the table."""
        from app.ui.dialogs.papers import open_sheet_dialog, open_shown_sheet_dialog

        window = self.window
        if window.page_id == "preview" and window.front.sheet is not None:
            open_shown_sheet_dialog(window, window.front.sheet)
        elif window.session.view is None:
            window.bar.say(text("session.no_job"))
        else:
            open_sheet_dialog(window)

    def field_forms(self) -> None:
        """Write blank forms for places where the computer may not go."""
        from app.ui.dialogs.field_forms import FieldFormsDialog

        FieldFormsDialog(self.window).open()

    def give_out(self) -> None:
        """Write the job with its readings as a job file."""
        from app.ui.dialogs.papers import open_job_file_dialog

        open_job_file_dialog(self.window)

    # Record

    def review(self) -> None:
        """What waits for a decision; again: the list of it where the screen is narrow."""
        if self.window.page_id == "review":
            self.window.front.show_queue()
        else:
            self.window.show_page("review")

    def trail(self) -> None:
        """What was done to the job; from a field of the worksheet also what was done in it."""
        page = self.window.page("trail")
        if self.window.page_id == "worksheet":
            page.address = self.window.front.address_here()
        self.window.show_page("trail")

    def check(self) -> None:
        """Whether a file is what was signed."""
        self.window.show_page("check")

    def my_key(self) -> None:
        """The own key, and whom this computer believes."""
        self.window.show_page("my_key")

    def copies(self) -> None:
        """The copies of the store."""
        self.window.show_page("copies")

    def office(self) -> None:
        """The office that enrols people."""
        self.window.show_page("office")

    def write_signed(self) -> None:
        """Write the signed file of the job that travels once more."""
        from app.ui.dialogs.papers import open_signed_file_dialog

        open_signed_file_dialog(self.window)

    def supersede(self) -> None:
        """Say which job or sheet stands in the place of this one."""
        self._end("supersede")

    def void(self) -> None:
        """Say that the job counts for nothing."""
        self._end("void")

    def _end(self, verb: str) -> None:
        from app.ui.dialogs.end_job import open_end_dialog

        open_end_dialog(self.window, verb)

    def take_back(self) -> None:
        """Take a job back that was handed in, with a reason."""
        from app.ui.dialogs.reason import ReasonDialog

        dialog = ReasonDialog(
            text("take_back.heading"),
            text("take_back.intro"),
            main=text("take_back.main"),
            parent=self.window,
        )
        dialog.given.connect(
            lambda reason: self.window.session.do(
                lambda desk, job_id: desk.take_back(job_id, reason),
                refused=dialog.say,
                done=lambda _change: dialog.accept(),
            )
        )
        dialog.open()

    # Undo

    def undo(self) -> None:
        """Take back the last act, as a new entry."""
        self._undo("undo")

    def redo(self) -> None:
        """Do again what was undone last, as a new entry."""
        self._undo("redo")

    def _undo(self, verb: str) -> None:
        if self.window.page_id == "worksheet":
            self.window.page("worksheet").undo(verb)
        else:
            self.window.session.do(lambda desk, job_id: getattr(desk, verb)(job_id))
