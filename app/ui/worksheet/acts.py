"""Acts of the page that ask first or reach beyond one field: strike, take again, remark, undo."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.desk.view import Address, Change
from app.ui.dialogs.basis import BasisDialog
from app.ui.shell.session import sentence_of
from app.ui.texts import text
from app.ui.widgets.ask import Ask
from app.ui.worksheet.basis import basis_of

if TYPE_CHECKING:
    from app.ui.worksheet.cursor import Cursor
    from app.ui.worksheet.page import WorksheetPage
    from ctcore.hookup import Lead

STRIKE_REASONS = ("ask.strike.slip", "ask.strike.unstable", "ask.strike.terminals", "ask.strike.fell")
AGAIN_REASONS = (
    "ask.again.unstable",
    "ask.again.terminals",
    "ask.again.instrument",
    "ask.again.magnetised",
    "ask.again.weather",
    "ask.again.repair",
    "ask.again.witness",
    "ask.again.reviewer",
)


class Acts(QObject):
    """Each one asks what it needs, then calls one verb of the desk."""

    def __init__(self, page: WorksheetPage, cursor: Cursor) -> None:
        super().__init__(cursor)
        self._page = page
        self._cursor = cursor

    def acknowledge(self, caution_id: str) -> None:
        """Note that the caution shown was read."""
        sheet, line = self._page.sheet, self._page.body.caution.current
        if sheet is None or line is None:
            return
        words = " ".join((line.hazard_text, line.can_do_text, line.so_text))
        self._cursor.submit(
            self._page.desk.acknowledge,
            sheet.core.core_id,
            sheet.procedure.procedure_id,
            caution_id,
            words,
            then=self._cursor.start,
        )

    def tick_lead(self, lead: Lead) -> None:
        """Note that a lead was landed, or taken off again."""
        sheet = self._page.sheet
        if sheet is None or self._page.locked:
            return
        self._cursor.submit(self._page.desk.tick_lead, sheet.core.core_id, sheet.procedure.procedure_id, lead)

    def ask_strike(self) -> None:
        """Ask for the reason, then strike the row in hand."""
        line = self._cursor.line
        if line is None or not line.entered or line.struck or self._page.locked:
            return
        Ask(
            self._page,
            text("ask.strike.title", row=line.words),
            [text(entry) for entry in STRIKE_REASONS],
            lambda _index, reason: self._strike(line.row, reason),
        ).open()

    def _strike(self, row: str, reason: str) -> None:
        sheet = self._page.sheet
        assert sheet is not None
        self._cursor.submit(
            self._page.desk.strike_row,
            sheet.core.core_id,
            sheet.procedure.procedure_id,
            sheet.take_number,
            row,
            reason,
            then=lambda: self._cursor.focus_row(0),
        )

    def ask_remark(self) -> None:
        """Ask for the words, then add the remark."""
        sheet = self._page.sheet
        if sheet is None or self._page.locked:
            return
        Ask(
            self._page,
            text("ask.remark.title", step=sheet.procedure.name),
            [],
            lambda _index, words: self._cursor.submit(
                self._page.desk.remark, sheet.core.core_id, sheet.procedure.procedure_id, words
            ),
        ).open()

    def ask_again(self) -> None:
        """Ask for the reason, then open the next take."""
        sheet = self._page.sheet
        if sheet is None or self._page.locked or not any(row.entered for row in sheet.rows):
            return
        Ask(
            self._page,
            text("ask.again.title", step=sheet.procedure.name),
            [text(entry) for entry in AGAIN_REASONS],
            lambda _index, reason: self._again(reason),
        ).open()

    def _again(self, reason: str) -> None:
        sheet = self._page.sheet
        assert sheet is not None
        core_id, procedure_id = sheet.core.core_id, sheet.procedure.procedure_id
        self._cursor.submit(
            self._page.desk.new_take,
            core_id,
            procedure_id,
            reason,
            then=lambda: self._show_last_take(core_id, procedure_id),
        )

    def _show_last_take(self, core_id: str, procedure_id: str) -> None:
        assert self._page.view is not None
        self._page.show_take(self._page.view.takes[(core_id, procedure_id)][-1].take)

    def ask_instrument(self) -> None:
        """Ask which instrument of the job reads the column in hand."""
        sheet, here = self._page.sheet, self._cursor.field_here()
        if sheet is None or here is None or self._cursor.where()[0] != "row" or self._page.locked:
            return
        instruments = sheet.view.job.instruments
        quantity = here[1].quantity
        if not instruments:
            self._page.body.hint.tell(text("hint.no_instruments"))
            return
        Ask(
            self._page,
            text("ask.instrument.title", quantity=quantity.name),
            [f"{entry.name_text} {entry.serial_text}".strip() for entry in instruments],
            lambda index, _words: self._cursor.submit(
                self._page.desk.use_instrument,
                sheet.core.core_id,
                sheet.procedure.procedure_id,
                sheet.take_number,
                quantity.quantity_id,
                instruments[index].instrument_id,
            ),
            with_line=False,
        ).open()

    def show_basis(self) -> None:
        """Show what the verdict in hand rests on; the office's own limit is set there."""
        page, sheet = self._page, self._page.sheet
        finding = page.body.findings.finding_in_hand(self._cursor.row)
        if sheet is None or finding is None:
            page.body.hint.tell(text("hint.no_finding"))
            return

        def keep(low_text: str, high_text: str, reason_text: str, person_text: str) -> None:
            page.writer.submit(
                page.desk.set_limit, sheet.view.job.job_id, finding.rule, finding.core, finding.quantity,
                low_text=low_text, high_text=high_text, reason_text=reason_text, person_text=person_text,
                done=done, failed=failed,
            )  # fmt: skip

        def done(change: Change) -> None:
            dialog.accept()
            page.redraw(change)
            page.changed.emit(change)

        def failed(problem: BaseException) -> None:
            dialog.say(sentence_of(problem) or text("page.unexpected", problem=str(problem)))

        dialog = BasisDialog(
            finding, basis_of(sheet, finding), keep=None if page.locked else keep,
            person_text=page.desk.settings.me()[1], parent=page.window(),
        )  # fmt: skip
        dialog.open()

    def take_offer(self) -> None:
        """Key what the chosen notice offers, as one act and one undo; nothing without an offer."""
        self._page.noticing.look_if_due()
        offer = self._page.body.findings.chosen_offer()
        if self._page.locked:
            return
        if offer is None:
            self._page.body.hint.tell(text("hint.no_offer"))
            return
        comma = self._page.desk.settings.decimal_comma()
        entries = [
            (
                Address(entry.core_id, entry.procedure_id, entry.take, entry.row, entry.quantity_id),
                entry.text.replace(".", ",") if comma else entry.text,
            )
            for entry in offer.entries
        ]
        self._cursor.submit(self._page.desk.key_many, entries)

    def undo(self) -> None:
        """Undo the last act on the job; it becomes one more entry."""
        self._cursor.submit(self._page.desk.undo)

    def redo(self) -> None:
        """Do again what was undone."""
        self._cursor.submit(self._page.desk.redo)
