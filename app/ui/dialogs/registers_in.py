"""What a file of registers would change here, shown before anything is."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.registers import Difference, Incoming, Registers
    from app.ui.window import MainWindow


class RegistersInDialog(DialogFrame):
    """A line per entry that is new or differs; the main button takes all of it over."""

    def __init__(self, window: MainWindow, incoming: Incoming, taken: Callable[[Registers], None]) -> None:
        count = len(incoming.differences)
        super().__init__(
            text("register_in.heading"),
            main=text("register_in.main" if count else "register_in.nothing_main"),
            intro=text("register_in.intro", count=count, only=incoming.only_here_count)
            if count
            else text("register_in.nothing"),
            width=760,
            parent=window,
        )
        self._window, self._incoming, self._taken = window, incoming, taken
        self.lines = Words("\n".join(difference_words(one) for one in incoming.differences), role="value")
        self.body.addWidget(self.lines)
        self.confirmed.connect(self._take)

    def _take(self) -> None:
        if not self._incoming.differences:
            self.accept()
            return
        coming = self._incoming.registers
        self._window.session.fetch(
            lambda desk: desk.take_registers(coming), done=self._done, refused=self.say
        )

    def _done(self, registers: Registers) -> None:
        self.accept()
        self._window.bar.note(text("register_in.done"))
        self._taken(registers)


def difference_words(one: Difference) -> str:
    """An entry that is new, or each of its fields that differ with both texts."""
    where = text(f"register.{one.kind}")
    if one.is_new:
        return text("register_in.new", where=where, name=one.name_text)
    fields = "; ".join(
        text("register_in.field", name=name.replace("_", " "), before=before or "–", now=now or "–")
        for name, before, now in one.fields
    )
    return text("register_in.differs", where=where, name=one.name_text, fields=fields)
