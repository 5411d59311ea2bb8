"""The few answers that a job starts with; the rest stands on the page of the title block."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell import numbers
from app.ui.shell.fields import FormField
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

PHASE_NAMES: Final = ("L1 L2 L3", "A B C", "1 2 3", "R Y B")


def phases_of(words: str) -> tuple[str, ...]:
    """Names of phases out of a text: parted by spaces or commas."""
    return tuple(words.replace(",", " ").split())


class NewJobDialog(DialogFrame):
    """Number, title, site, names of the phases, rated frequency."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(
            text("new_job.heading"), main=text("new_job.main"), intro=text("new_job.intro"), parent=window
        )
        self._window = window
        self.number = self.add_field(text("header.number_text"), must_be_stated=True)
        self.title = self.add_field(text("header.title_text"))
        self.site = self.add_field(text("header.site_text"))
        self.phases = FormField(
            text("header.phases"),
            choices=[(name, name) for name in PHASE_NAMES],
            help_text=text("header.phases_help"),
        )
        self.phases.show_text(PHASE_NAMES[0])
        self.frequency = FormField(text("header.frequency"))
        self.frequency.show_text("50")
        self.add_row(self.phases, self.frequency)
        self.number.kept.connect(lambda value: self.number.say("" if value else text("new_job.no_number")))
        self.frequency.kept.connect(lambda _value: self._read_frequency())
        self.confirmed.connect(self._start)

    def _read_frequency(self) -> float | None:
        value, reason = numbers.read(self.frequency.value(), "Hz", self._window.settings)
        self.frequency.say(reason or ("" if value is not None else text("field.not_stated_reason")))
        return value

    def _start(self) -> None:
        frequency_hz = self._read_frequency()
        if not self.number.value():
            self.number.say(text("new_job.no_number"))
            self.number.line.setFocus()
            return
        if frequency_hz is None:
            self.frequency.line.setFocus()
            return
        from ctcore.job import Header

        header = Header(
            number_text=self.number.value(), title_text=self.title.value(), site_text=self.site.value()
        )
        phases = phases_of(self.phases.value())
        self._window.session.start(
            lambda desk: desk.new_job(header, frequency_rated_hz=frequency_hz, phase_names=phases),
            refused=self.say,
            done=lambda _change: self._started(),
        )

    def _started(self) -> None:
        self.accept()
        self._window.deeds.add_set()
