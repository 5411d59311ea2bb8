"""The dialog that prints: printer, pages, copies, paper, size, ink and sides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

from app.ui.dialogs.frame import DialogFrame
from app.ui.preview import printing
from app.ui.preview.back import PagesBehind
from app.ui.preview.printing import PAPERS, PrintPlan
from app.ui.preview.ranges import BadRange, pages_of, words_of
from app.ui.shell.fields import FormField
from app.ui.shell.lettering import Words
from app.ui.shell.session import sentence_of
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.printing import SheetPdf
    from app.ui.window import MainWindow


def open_print_dialog(window: MainWindow, sheet: SheetPdf, behind: PagesBehind) -> None:
    """The dialog; where there is no printer one that says so and offers a file instead."""
    found = printing.printers()
    if found:
        PrintDialog(window, sheet, behind, found).open()
    else:
        NoPrinterDialog(window).open()


class NoPrinterDialog(DialogFrame):
    """Says that there is no printer, and offers to write a file."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(text("print.heading"), main=text("print.save"), width=640, parent=window)
        self._window = window
        self.body.addWidget(Words(text("print.no_printer"), role="body"))
        self.cancel.set_words(text("dialog.close"))
        folder = self.add_button(text("print.folder"), "Alt+O")
        folder.answer_key()
        folder.clicked.connect(self._open_folder)
        self.confirmed.connect(self._save)

    def _open_folder(self) -> None:
        folder = self._window.settings.folder / "sheets"
        folder.mkdir(parents=True, exist_ok=True)
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder)))

    def _save(self) -> None:
        self.accept()
        self._window.deeds.do("sheet")


class PrintDialog(DialogFrame):
    """Asks, prints on the thread of the preview, and keeps a note of it in the trail."""

    def __init__(
        self, window: MainWindow, sheet: SheetPdf, behind: PagesBehind, found: list[QPrinterInfo]
    ) -> None:
        super().__init__(
            text("print.heading"), intro=text(f"print.{sheet.standing}_intro"), main=text("print.main"),
            width=760, parent=window,
        )  # fmt: skip
        self._window, self._sheet, self._behind = window, sheet, behind
        self._infos = {info.printerName(): info for info in found}
        self.is_printing = False
        names = [(name, info.description() or name) for name, info in self._infos.items()]
        self.printer = self.add_field(text("print.printer"), names[0][0], choices=names)
        self.pages = _field("pages", text("print.all"))
        self.copies = _field("copies", "1")
        self.paper = _field("paper", "A4", {"A4": "a4", "Letter": "letter"})
        self.scale = _field("scale", "fit", {"fit": "fit", "actual": "actual"})
        self.ink = _field("ink", "grey", {"grey": "grey", "colour": "colour"})
        self.sides = _field("sides", "one", {name: name for name in printing.DUPLEX})
        self.add_row(self.pages, self.copies)
        self.add_row(self.paper, self.scale)
        self.add_row(self.ink, self.sides)
        self._suit_printer(names[0][0])
        self.printer.kept.connect(self._suit_printer)
        self.confirmed.connect(self._print)

    # Asking

    def _suit_printer(self, name: str) -> None:
        """Offer what this printer can do; its own paper is taken first."""
        info = self._infos[name]
        sizes = {size: paper for paper, size in PAPERS.items()}
        wide = self._behind.file.size_pt(0)[0] if self._behind.file else 0.0
        self.paper.show_text(sizes.get(info.defaultPageSize().id(), "Letter" if wide > 600.0 else "A4"))
        self.ink.setVisible(QPrinter.ColorMode.Color in info.supportedColorModes())
        self.sides.setVisible(printing.DUPLEX["long"] in info.supportedDuplexModes())
        self.fit()

    def plan(self) -> PrintPlan | None:
        """What is asked for; None where a field says why not."""
        count = self._behind.page_count
        try:
            pages = pages_of(self.pages.value(), count)
        except BadRange as problem:
            self.pages.say(problem.sentence)
            return None
        copies = self.copies.value()
        if not copies.isascii() or not copies.isdigit() or not 1 <= int(copies) <= 99:
            self.copies.say(text("print.no_copies"))
            return None
        ink = self.ink.value() if not self.ink.isHidden() else "grey"
        sides = self.sides.value() if not self.sides.isHidden() else "one"
        return PrintPlan(
            printer_text=self.printer.value(), pages=pages, copies=int(copies), paper=self.paper.value(),
            scale="actual" if self.scale.value() == "actual" else "fit", ink=ink, sides=sides,
        )  # fmt: skip

    # Printing

    def _print(self) -> None:
        plan, file = self.plan(), self._behind.file
        self.fit()
        if plan is None or file is None or self.is_printing:
            return
        printer = printing.printer_for(plan)
        loses = [at.lost_mm for at in printing.placements(file, printer, plan).values() if at.loses]
        if loses:
            self.scale.say(text("print.edge", across=max(loses)[0], down=max(lost[1] for lost in loses)))
            self.fit()
            return
        self._set_printing(True)
        self._behind.thread_behind.submit(
            self._window.works.watched("print", printing.print_pages, aside=self), file, printer, plan,
            done=lambda found: self._finished(plan, *found), failed=self._failed,
        )  # fmt: skip

    def _set_printing(self, printing_now: bool) -> None:
        self.is_printing = printing_now
        self.main.set_reason(text("print.working") if printing_now else "")

    def _finished(self, plan: PrintPlan, done: int, count: int) -> None:
        stopped = done < count
        noted = text(
            "print.trail_part" if stopped else "print.trail",
            pages=words_of(plan.pages), all=self._behind.page_count, copies=plan.copies, paper=plan.paper,
            printer=plan.printer_text, done=done,
        )  # fmt: skip
        said = text("print.cancelled" if stopped else "print.done", done=done, all=count,
                    pages=done, printer=plan.printer_text)  # fmt: skip
        self._set_printing(False)
        self.accept()
        self._window.bar.say(said)
        if done:
            self._note(noted)

    def _note(self, words: str) -> None:
        window, sheet = self._window, self._sheet

        window.session.fetch(
            lambda desk: desk.note_printed(
                sheet.job_id, revision=sheet.revision, standing=sheet.standing, words=words
            ),
            done=window.session.take,
            refused=lambda reason: window.bar.say(text("print.not_noted", reason=reason)),
        )

    def _failed(self, problem: BaseException) -> None:
        self._set_printing(False)
        sentence = sentence_of(problem)
        if sentence is None:
            self._window.deeds.report(problem)
        self.say(sentence or text("print.refused", printer=self.printer.value()))

    def reject(self) -> None:
        """While pages are on their way: stop them; the dialog goes when they have stopped."""
        if self.is_printing:
            self._window.works.stop()
        else:
            super().reject()


def _field(name: str, value: str, choices: dict[str, str] | None = None) -> FormField:
    """A question; `choices` name the texts of the answers."""
    offered = [(answer, text(f"print.{words}")) for answer, words in (choices or {}).items()]
    made = FormField(text(f"print.{name}"), choices=offered)
    made.show_text(value)
    return made
