"""The cursor of the page: where one types, what Enter keeps, and where it goes once that is saved."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt

from app.desk.view import Address, Change
from app.ui.texts import text
from app.ui.widgets.fieldedit import FieldEdit
from app.ui.widgets.framedfield import FramedField
from app.ui.worksheet import typing_now
from app.ui.worksheet.acts import Acts
from app.ui.worksheet.blocks import Blocks
from app.ui.worksheet.fieldline import FieldLine
from app.ui.worksheet.sheet import RowLine
from app.ui.worksheet.travel import Travel
from app.words import retold
from ctcore.findings import Finding
from ctcore.job import METHOD_ROW

if TYPE_CHECKING:
    from app.ui.worksheet.page import WorksheetPage


class Cursor(QObject):
    """Moves only by the user's key or touch, and only after what was typed is on disk."""

    def __init__(self, page: WorksheetPage) -> None:
        super().__init__(page)
        self.page = page
        self.row = ""
        self._quiet_count = 0
        self._held_at = ""
        self.acts: Acts = Acts(page, self)
        self.blocks: Blocks = Blocks(page, self)
        self.travel: Travel = Travel(page, self)
        body = page.body
        body.method.accepted.connect(self._method_accepted)
        body.method.same_as_above.connect(self._method_same)
        body.method.focused.connect(lambda _index: self._focus_seen())
        body.table.entry.accepted.connect(self._row_accepted)
        body.table.entry.same_as_above.connect(self._row_same)
        body.table.entry.typed.connect(lambda _index, _text: self.tell_typed())
        body.table.entry.focused.connect(lambda _index: self._focus_seen())
        body.method.abandoned.connect(self._method_abandoned)
        body.table.entry.abandoned.connect(self._row_abandoned)
        for part in (body.method, body.table.entry):
            part.help_asked.connect(self.tell_help)
            part.unmatched.connect(body.hint.tell_problem)
        body.table.row_chosen.connect(self.travel.choose_row)
        body.caution.read.connect(self.acts.acknowledge)
        body.caution.left.connect(self.focus_first_open)

    # Where it is

    def forget(self) -> None:
        """Another sheet comes: no row is in hand."""
        self.row = self._held_at = ""
        self.page.body.hint.tell_problem("")

    def start(self) -> None:
        """Go where one goes on: an unread caution, a method field that must be stated, or the next row."""
        if self.page.locked:
            self.page.setFocus()
        elif self.page.body.caution.current is not None:
            self.page.bring_part("readings")
            self.page.body.caution.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.focus_first_open()

    def focus_first_open(self) -> None:
        """Go to the first method field, or the first still open, unless rows were begun; else to the row."""
        sheet = self.page.sheet
        if sheet is None:
            return
        begun = any(row.entered for row in sheet.rows)
        fresh = all(line.state in ("must", "repeated", "empty") for line in sheet.method)
        for index, line in enumerate(sheet.method):
            if not begun and (fresh or line.state in ("must", "repeated", "no number")):
                self._focus(self.page.body.method.fields[index])
                return
        self.focus_row(0)

    def follow(self) -> None:
        """Keep a row in hand after the sheet was made again, and show it in the entry row."""
        sheet, table = self.page.sheet, self.page.body.table
        assert sheet is not None
        names = [row.row for row in sheet.rows]
        if self.row not in names:
            self.row = self._first_open_row()
        line = self.line
        if line is not None:
            locked = self.page.locked
            table.entry.show_row(
                line, decimal_mark=self.page.decimal_mark, locked=locked, note=self._note(line)
            )
        table.take_in_hand(self.row)
        self._focus_seen()

    def findings_now(self) -> tuple[Finding, ...]:
        """The findings, without what only says that the row in hand is not whole yet."""
        sheet, line = self.page.sheet, self.line
        assert sheet is not None
        if line is None or all(field.typed for field in line.fields) or self.page.locked:
            return sheet.findings
        unfinished = f"Row {line.words} is not on the curve"
        return tuple(
            entry
            for entry in sheet.findings
            if not (entry.rule == "excitation.left_out" and unfinished in entry.text)
        )

    @property
    def line(self) -> RowLine | None:
        """The row in hand."""
        sheet = self.page.sheet
        return next((row for row in sheet.rows if row.row == self.row), None) if sheet else None

    def _first_open_row(self) -> str:
        assert self.page.sheet is not None
        rows = self.page.sheet.rows
        if self.page.sheet.procedure.row_kind == "points":
            return rows[-1].row if rows else ""
        return next((row.row for row in rows if not row.entered), rows[0].row if rows else "")

    def _note(self, line: RowLine) -> str:
        assert self.page.sheet is not None
        is_points = self.page.sheet.procedure.row_kind == "points"
        if is_points and self.page.sheet.sisters and not all(field.shown for field in line.fields):
            return text("rows.sisters_later")
        return ""

    def where(self) -> tuple[str, int]:
        """The part and the place in it that has the focus: "method", "row" or "page"."""
        for part, fields in (
            ("method", self.page.body.method.fields),
            ("row", self.page.body.table.entry.fields),
        ):
            for index, field in enumerate(fields):
                if field.edit.hasFocus():
                    return part, index
        return "page", 0

    def field_here(self) -> tuple[FramedField, FieldLine] | None:
        """The field that has the focus, with what the sheet knows of it."""
        part, index = self.where()
        if part == "method":
            return self.page.body.method.fields[index], self.page.body.method.lines[index]
        if part == "row" and self.line is not None:
            return self.page.body.table.entry.fields[index], self.line.fields[index]
        return None

    def address(self, row: str, quantity_id: str) -> Address:
        """The address of a field of the sheet."""
        sheet = self.page.sheet
        assert sheet is not None
        return Address(sheet.core.core_id, sheet.procedure.procedure_id, sheet.take_number, row, quantity_id)

    # Keeping

    def keep_here(self) -> None:
        """Do what Enter does in the field that has the focus; without one, go to the row in hand."""
        here = self.field_here()
        if self.page.body.caution.hasFocus():
            self.page.body.caution.answer()
        elif here is None:
            self.focus_first_open()
        else:
            here[0].edit.accept_typed()

    def _method_accepted(self, index: int, typed: str) -> None:
        line = self.page.body.method.lines[index]
        field = self.page.body.method.fields[index]
        quantity_id = line.quantity.quantity_id
        # Practice: a hand that pressed Enter once too often is not led past the choice that the rows hang on.
        if not typed and line.state == "must" and line.choices and self._held_at != quantity_id:
            self._held_at = quantity_id
            self.page.body.hint.tell_problem(text("method.choose"))
            return
        if self._held_at:
            self._held_at = ""
            self.page.body.hint.tell_problem("")
        self.keep(field, line, METHOD_ROW, typed, lambda: self._after_method(quantity_id))

    def _row_accepted(self, index: int, typed: str) -> None:
        if self.line is None:
            return
        row, line = self.row, self.line.fields[index]
        self.keep(
            self.page.body.table.entry.fields[index], line, row, typed, lambda: self._after_row(row, index)
        )

    def _method_abandoned(self, index: int, typed: str) -> None:
        line = self.page.body.method.lines[index]
        self.keep(self.page.body.method.fields[index], line, METHOD_ROW, typed, self._focus_seen)

    def _row_abandoned(self, index: int, typed: str) -> None:
        if self.line is not None:
            field = self.page.body.table.entry.fields[index]
            self.keep(field, self.line.fields[index], self.row, typed, self._focus_seen)

    def save_unsaved(self) -> None:
        """Save what stands in the field that has the focus, if it is not kept yet; nothing moves."""
        here = self.field_here()
        if here is not None and here[0].edit.is_edited and here[0].edit.entry_text():
            row = METHOD_ROW if self.where()[0] == "method" else self.row
            self.keep(here[0], here[1], row, here[0].edit.entry_text(), self._focus_seen)

    def save_typed(self, edit: FieldEdit) -> None:
        """Save what stands in a field that lost the focus to a question about it; nothing moves."""
        method, entry = self.page.body.method, self.page.body.table.entry
        rows = self.line.fields if self.line is not None else ()
        for row, fields, lines in ((METHOD_ROW, method.fields, method.lines), (self.row, entry.fields, rows)):
            for field, line in zip(fields, lines, strict=False):
                if field.edit is edit:
                    self.keep(field, line, row, edit.entry_text(), self._focus_seen)

    def keep(
        self, field: FramedField, line: FieldLine, row: str, typed: str, then: Callable[[], None]
    ) -> None:
        """Save what was typed, then go on; what is kept already is not saved again."""
        if not typed or self.page.locked:
            if line.typed and field.edit.is_edited:
                field.edit.revert()
            then()
        elif line.state in ("kept", "no number") and typed in (line.typed, field.edit.kept_text()):
            then()
        else:
            self.submit(self.page.desk.key, self.address(row, line.quantity.quantity_id), typed, then=then)

    def submit(
        self,
        verb: Callable[..., Change],
        *args: Any,
        then: Callable[[], None] | None = None,
        refused: Callable[[str], None] | None = None,
    ) -> None:
        """Ask for a verb on the job; redraw from what it changed, then go on. `refused` takes why not."""
        assert self.page.view is not None
        job_id = self.page.view.job.job_id
        row = self.row
        self.page.writer.submit(
            verb, job_id, *args, done=lambda change: self._done(change, row, then),
            failed=lambda problem: self._failed(problem, refused),
        )  # fmt: skip

    def _done(self, change: Change, row: str, then: Callable[[], None] | None) -> None:
        page = self.page
        page.body.hint.tell_problem("")
        if page.sheet is not None:
            key = "status.saved_row" if row.isdigit() else "status.saved"
            page.status.tell_saved(text(key, at=change.saved_at_text, row=row))
        with self._quietly():
            page.redraw(change)
            if then is not None:
                then()
        if change.note_text:
            page.body.hint.tell(retold(change.note_text))
        page.changed.emit(change)

    @contextmanager
    def _quietly(self) -> Iterator[None]:
        """Redraw and go on as one step: hint and read-back are told once, at its end."""
        self._quiet_count += 1
        try:
            yield
        finally:
            self._quiet_count -= 1
            self._focus_seen()

    def _failed(self, problem: BaseException, refused: Callable[[str], None] | None = None) -> None:
        """What was typed stays in its field, keys that waited are dropped, and the reason stands below."""
        self.page.keys_held.drop()
        sentence = getattr(problem, "sentence", None)
        if sentence is None:
            sentence = text("page.unexpected", problem=f"{type(problem).__name__}: {problem}")
        self.page.body.hint.tell_problem(sentence)
        self.page.status.tell(sentence)
        if refused is not None:
            refused(sentence)

    # Going on

    def _after_method(self, quantity_id: str) -> None:
        fields = self.page.body.method.lines
        here = next((i for i, line in enumerate(fields) if line.quantity.quantity_id == quantity_id), -1)
        if here + 1 < len(fields):
            self._focus(self.page.body.method.fields[here + 1])
        else:
            self.focus_row(0)

    def _after_row(self, row: str, index: int) -> None:
        if self.page.sheet is None:
            return
        fields = self.page.body.table.entry.fields
        if index + 1 < len(fields):
            self.focus_row(index + 1)
            return
        names = [entry.row for entry in self.page.sheet.rows]
        here = names.index(row) if row in names else -1
        if here + 1 < len(names):
            self.take(names[here + 1])
        self.focus_row(0)

    def focus_row(self, index: int) -> None:
        """Go to a field of the row in hand."""
        fields = self.page.body.table.entry.fields
        if fields:
            self._focus(fields[min(index, len(fields) - 1)])

    def _focus(self, field: FramedField) -> None:
        if self.page.locked:
            return
        self.page.bring_part("readings")
        field.edit.setFocus(Qt.FocusReason.OtherFocusReason)
        self.page.body.ensureWidgetVisible(field, 20, 60)
        self._focus_seen()

    def take(self, row: str) -> None:
        """Take a row in hand."""
        self.row = row
        self.follow()
        if self.page.sheet is not None:
            self.page.show_steps()

    # Same as above

    def _method_same(self, index: int) -> None:
        line = self.page.body.method.lines[index]
        if line.state == "repeated":
            self.page.body.method.fields[index].edit.fill(line.shown if line.choices else line.typed)

    def _row_same(self, index: int) -> None:
        sheet = self.page.sheet
        if sheet is None:
            return
        names = [row.row for row in sheet.rows]
        above = [
            row for row in sheet.rows[: names.index(self.row)] if row.fields[index].typed and not row.struck
        ]
        if above:
            self.page.body.table.entry.fields[index].edit.fill(above[-1].fields[index].typed)

    # What is said while typing

    def tell_typed(self) -> None:
        """Read back what stands in the row in hand, and ring its point on the plot."""
        sheet, line = self.page.sheet, self.line
        if sheet is None or line is None or self._quiet_count:
            return
        part, index = self.where()
        entry = self.page.body.table.entry
        before = [row for row in sheet.rows[: sheet.rows.index(line)] if row.entered and not row.struck]
        now = typing_now.row_now(
            entry.fields, line, before[-1] if before else None, index if part == "row" else -1,
            self.page.desk.settings,
        )  # fmt: skip
        self.page.read_back.show_values(*typing_now.place_words(sheet, now.row), now.said)
        self.page.views.show_keyed(now.point)

    def _focus_seen(self) -> None:
        if self._quiet_count:
            return
        self.tell_hint()
        self.tell_typed()

    def tell_hint(self) -> None:
        """The sentence for the field in hand, unless its help was asked for."""
        here = self.field_here()
        if here is not None and here[0].edit.helped:
            return
        sheet = self.page.sheet
        if sheet is not None:
            self.page.body.hint.tell(typing_now.hint(sheet, here[1] if here else None, self.page.curves))

    def tell_help(self) -> None:
        """What the field in hand means, how it is computed or what it goes into, and where that is from."""
        here = self.field_here()
        if here is not None:
            self.page.body.hint.tell(typing_now.help_words(here[1].quantity))

    # Acts that ask first

    def ask_strike(self) -> None:
        """Strike the row in hand, with a reason."""
        self.acts.ask_strike()

    def ask_remark(self) -> None:
        """Add a remark to this step."""
        self.acts.ask_remark()

    def ask_again(self) -> None:
        """Take the test again, with a reason."""
        self.acts.ask_again()

    def ask_instrument(self) -> None:
        """Say which instrument reads the column in hand."""
        self.acts.ask_instrument()

    def undo(self) -> None:
        """Undo the last act on the job."""
        self.acts.undo()

    def redo(self) -> None:
        """Do again what was undone."""
        self.acts.redo()

    def change_value(self) -> None:
        """Go to the row in hand, all of its text chosen."""
        part, index = self.where()
        self.focus_row(index if part == "row" else 0)

    def reopen_caution(self) -> None:
        """Bring the cautions back in full."""
        caution = self.page.body.caution
        caution.reopen()
        if caution.current is not None:
            caution.setFocus(Qt.FocusReason.OtherFocusReason)
            self.page.body.ensureWidgetVisible(caution)
        elif self.where()[0] == "page":
            self.focus_first_open()

    def next_part(self) -> None:
        """Go from the method fields to the rows and back."""
        if self.where()[0] == "row" and self.page.body.method.fields:
            self._focus(self.page.body.method.fields[0])
        else:
            self.focus_row(0)

    def enlarge_knee(self) -> None:
        """The knee fills the plot, or goes back to its corner."""
        self.page.views.toggle_enlarged()

    def next_finding(self) -> None:
        """Choose the next finding and take its row in hand."""
        found = self.page.body.findings.choose_next()
        if self.page.body.part:
            self.page.choose_part("findings")
        elif found is not None and self.page.sheet and found.row in [row.row for row in self.page.sheet.rows]:
            self.travel.choose_row(found.row)
