"""Blocks of readings for the test on the page: out of the clipboard, or out of a file."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication

from app.exchange import tables, tsv
from app.exchange.problem import JobFileProblem
from app.exchange.tables import Table
from app.ui.dialogs.readings_in import ReadingsDialog, Target
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.ui.worksheet.cursor import Cursor
    from app.ui.worksheet.page import WorksheetPage


class Blocks(QObject):
    """Each block is looked at first; what is kept of it is one act and one undo."""

    def __init__(self, page: WorksheetPage, cursor: Cursor) -> None:
        super().__init__(cursor)
        self._page = page
        self._cursor = cursor

    def paste(self) -> None:
        """Show how the block on the clipboard is understood, from the row and column in hand on."""
        clipboard = QGuiApplication.clipboard()
        held = clipboard.mimeData()
        if held is not None and held.hasImage() and not held.hasText():
            self._page.body.hint.tell(text("plates_in.picture"))
            return
        part, at = self._cursor.where()
        target = self._target(at if part == "row" else 0)
        if target is not None:
            ReadingsDialog(self._page, target, self._keep, block=clipboard.text()).open()

    def from_file(self) -> None:
        """Ask for a file of readings and show how it is understood, from the row in hand on."""
        target = self._target(0)
        if target is not None:
            ReadingsDialog(self._page, target, self._keep).open()

    def _target(self, at: int) -> Target | None:
        page, line = self._page, self._cursor.line
        sheet = page.sheet
        if page.locked and page.view is not None:
            page.body.hint.tell(retold(page.view.read_only_reason or ""))
        if sheet is None or line is None or page.locked:
            return None
        columns = tuple(field.quantity.quantity_id for field in line.fields)
        called = (one.kind_text or one.name_text for one in sheet.view.job.instruments)
        return Target(
            procedure_id=sheet.procedure.procedure_id,
            quantity_ids=columns[at:],
            choices=columns,
            rows=tuple(self._rows_from_here()),
            row_words={row.words: row.row for row in sheet.rows if not row.row.isdigit()},
            decimal_comma=page.desk.settings.decimal_comma(),
            folder=page.desk.settings.folder,
            instruments=tuple(dict.fromkeys(filter(None, called))),
            read=self._read,
        )

    def _rows_from_here(self) -> list[str]:
        sheet = self._page.sheet
        assert sheet is not None
        names = [row.row for row in sheet.rows]
        here = names[names.index(self._cursor.row) :]
        if sheet.procedure.row_kind == "points":
            here += [str(int(here[-1]) + more) for more in range(1, tsv.MOST_ROWS)]
        return here

    def _read(
        self,
        path: Path,
        decimal_comma: bool | None,
        mark: str,
        took: Callable[[Table], None],
        refused: Callable[[str], None],
    ) -> None:
        def failed(problem: BaseException) -> None:
            if not isinstance(problem, JobFileProblem):
                raise problem
            refused(text("readings_in.refused", sentence=retold(problem.sentence)))

        self._page.writer.submit(
            partial(tables.from_file, path, decimal_comma=decimal_comma, mark=mark), done=took, failed=failed
        )

    def _keep(self, seen: tsv.Preview, done: Callable[[], None], refused: Callable[[str], None]) -> None:
        def go_below() -> None:
            done()
            self._go_below()

        entries = [
            (self._cursor.address(row, quantity_id), typed) for row, quantity_id, typed in seen.entries()
        ]
        self._cursor.submit(self._page.desk.key_many, entries, then=go_below, refused=refused)

    def _go_below(self) -> None:
        self._cursor.forget()
        self._cursor.follow()
        self._cursor.focus_row(0)
