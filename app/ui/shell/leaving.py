"""The window is to close while a half typed text stands in a field: it is asked about, never lost unseen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from app.ui.shell.fields import FormField, FormLine
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.widgets.fieldedit import FieldEdit
    from app.ui.window import MainWindow


@dataclass(frozen=True, slots=True)
class HalfTyped:
    """A text that is not kept yet: the field it stands in, how it is kept, and why that failed; "" if not."""

    field_text: str
    typed_text: str
    keep: Callable[[], None]
    failed: Callable[[], str]


class Leaving:
    """Asks when the window is to close; once it is `answered` the window closes without a question."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self.answered = False

    def may_close(self) -> bool:
        """Whether nothing half typed is left to be asked about; else the question stands on the screen."""
        found = None if self.answered else self.half_typed()
        if found is None:
            return True
        self._ask(found, self._window.close)
        return False

    def may_come_anew(self, go_on: Callable[[], object]) -> bool:
        """Whether nothing half typed is left where the window only comes up anew: it is kept, unasked.

        `go_on` follows once it is kept. What its field refuses is asked about first.
        """
        found = None if self.answered else self.half_typed()
        if found is None:
            return True
        self.keep(found, done=lambda: self._go_on(go_on), failed=lambda _reason: self._ask(found, go_on))
        return False

    def keep(self, found: HalfTyped, *, done: Callable[[], None], failed: Callable[[str], None]) -> None:
        """Keep a text in its field; exactly one of `done` and `failed(reason)` follows."""
        writer = self._window.session.writer

        def written(busy: bool = False) -> None:
            if busy:
                return
            if waits:
                writer.busy_changed.disconnect(written)
            reason = found.failed()
            if reason:
                failed(reason)
            else:
                done()

        found.keep()
        waits = writer.busy
        if waits:
            writer.busy_changed.connect(written)
        else:
            written()

    def _ask(self, found: HalfTyped, go_on: Callable[[], object]) -> None:
        from app.ui.dialogs.leave import LeaveDialog

        LeaveDialog(self._window, found, lambda: self._go_on(go_on)).open()

    def _go_on(self, go_on: Callable[[], object]) -> None:
        self.answered = True
        go_on()

    def half_typed(self) -> HalfTyped | None:
        """What stands in the field that has, or last had, the focus of the window and is not kept."""
        line = self._window.focusWidget() or QApplication.focusWidget()
        from app.ui.widgets.fieldedit import FieldEdit

        if isinstance(line, FieldEdit):
            return self._in_worksheet(line)
        if isinstance(line, FormLine) and line.isModified() and line.text().strip():
            field = line.parentWidget()
            while field is not None and not isinstance(field, FormField):
                field = field.parentWidget()
            if isinstance(field, FormField) and not field.locked:
                return HalfTyped(field.caption, line.text(), field.keep_typed, lambda: field.reason)
        return None

    def _in_worksheet(self, line: FieldEdit) -> HalfTyped | None:
        page = self._window.page("worksheet").page
        typed = line.entry_text()
        if page.locked or not typed or not line.is_edited_text() or line.quantity is None:
            return None
        cursor, heading = page.cursor_in_hand, line.quantity.heading
        in_row = any(field.edit is line for field in page.body.table.entry.fields)
        words = text("leave.row", field=heading, row=cursor.line.words) if in_row else heading
        return HalfTyped(words, typed, lambda: cursor.save_typed(line), lambda: page.body.hint.problem)
