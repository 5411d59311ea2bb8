"""From row to row, step to step, phase to phase; what stands unsaved in a field is saved first."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from ctcore.job import METHOD_ROW
from ctcore.procedures import planned

if TYPE_CHECKING:
    from app.ui.worksheet.cursor import Cursor
    from app.ui.worksheet.page import WorksheetPage


class Travel(QObject):
    """Where the arrows, the page keys and Alt lead."""

    def __init__(self, page: WorksheetPage, cursor: Cursor) -> None:
        super().__init__(cursor)
        self._page = page
        self._cursor = cursor

    def _leave(self, then: Callable[[], None]) -> None:
        """Save what stands unsaved in the field that is left, then go."""
        here = self._cursor.field_here()
        if here is None or not here[0].edit.is_edited or not here[0].edit.entry_text():
            then()
            return
        part, _ = self._cursor.where()
        row = METHOD_ROW if part == "method" else self._cursor.row
        self._cursor.keep(here[0], here[1], row, here[0].edit.entry_text(), then)

    def choose_row(self, row: str) -> None:
        """Take a row in hand."""
        part, index = self._cursor.where()
        at = index if part == "row" else 0

        def go() -> None:
            self._cursor.take(row)
            if not self._page.locked:
                self._cursor.focus_row(at)

        self._leave(go)

    def go_row(self, by: int) -> None:
        """Take the row above or below in hand."""
        sheet = self._page.sheet
        if sheet is None or not sheet.rows:
            return
        names = [row.row for row in sheet.rows]
        here = names.index(self._cursor.row) if self._cursor.row in names else 0
        self.choose_row(names[max(0, min(len(names) - 1, here + by))])

    def go_step(self, by: int) -> None:
        """Open the step before or after."""
        sheet = self._page.sheet
        assert sheet is not None
        plan = [procedure.procedure_id for procedure in planned(sheet.core)]
        at = plan.index(sheet.procedure.procedure_id) + by if sheet.procedure.procedure_id in plan else 0
        if 0 <= at < len(plan):
            self.go_to_step(plan[at])

    def go_to_number(self, number: int) -> None:
        """Open the step of that number."""
        assert self._page.sheet is not None
        plan = planned(self._page.sheet.core)
        if number <= len(plan):
            self.go_to_step(plan[number - 1].procedure_id)

    def go_take(self, by: int) -> None:
        """Show the take before or after, and round again."""
        sheet = self._page.sheet
        assert sheet is not None
        numbers = sheet.take_numbers
        here = numbers.index(sheet.take_number) if sheet.take_number in numbers else 0
        if len(numbers) > 1:
            self._leave(lambda: self._page.show_take(numbers[(here + by) % len(numbers)]))

    def go_to_step(self, procedure_id: str) -> None:
        """Open a step of this core; the open one shows its next take."""
        if self._page.sheet is not None and procedure_id == self._page.sheet.procedure.procedure_id:
            self.go_take(+1)
            return
        self._leave(lambda: self._open(self._core_id(), procedure_id))

    def go_sister(self, by: int) -> None:
        """Open the same step of the phase beside."""
        sheet = self._page.sheet
        assert sheet is not None
        cores = [
            core.core_id
            for ct in sheet.place.position.cts
            for core in ct.cores
            if core.number == sheet.core.number
        ]
        at = cores.index(sheet.core.core_id) + by
        if 0 <= at < len(cores):
            self._leave(lambda: self._open(cores[at], sheet.procedure.procedure_id))

    def _core_id(self) -> str:
        assert self._page.sheet is not None
        return self._page.sheet.core.core_id

    def _open(self, core_id: str, procedure_id: str) -> None:
        assert self._page.view is not None
        self._page.open(self._page.view, core_id, procedure_id)
