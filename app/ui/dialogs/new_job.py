"""The few answers that a job starts with; the rest stands on the page of the title block."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Final

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell import numbers
from app.ui.shell.fields import FormField
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.registers import Registers, Template
    from app.ui.window import MainWindow

_NO_TEMPLATE: Final = (("", text("new_job.no_template")),)
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
        self._templates: dict[str, Template] = {}
        self._wanted = ""
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
        # It stands last, so that the number is keyed first where there is no template.
        self.template = self.add_field(text("new_job.from_template"), choices=_NO_TEMPLATE)
        self.template.hide()
        self.template.kept.connect(lambda _value: self._show_template())
        self.confirmed.connect(self._start)
        window.session.fetch(lambda desk: desk.registers(), done=self._offer, refused=self.say)

    def choose_template(self, template_id: str) -> None:
        """Begin with a template; it may still be on its way."""
        self._wanted = template_id
        self._show_wanted()

    def _offer(self, registers: Registers) -> None:
        self._templates = {one.template_id: one for one in registers.templates}
        if self._templates:
            offered = [(one.template_id, one.name_text) for one in registers.templates]
            self.template.offer((*_NO_TEMPLATE, *offered), "")
            self.template.show()
            self._show_wanted()
            self.fit()

    def _show_wanted(self) -> None:
        if self._wanted in self._templates:
            self.template.show_text(self._wanted)
            self._show_template()

    def _show_template(self) -> None:
        """What a template has goes where nothing else was typed."""
        chosen = self._templates.get(self.template.value())
        if chosen is None:
            return
        for field, words in (
            (self.title, chosen.title_text),
            (self.site, chosen.site_text),
            (self.frequency, numbers.shown(chosen.frequency_rated_hz, "Hz", self._window.settings)),
        ):
            if words:
                field.show_text(words)
        names = " ".join(chosen.phase_names)
        if names not in PHASE_NAMES:
            self.phases.offer([(name, name) for name in (*PHASE_NAMES, names)], names)
        self.phases.show_text(names)

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
        chosen = self._templates.get(self.template.value())
        if chosen is not None:
            chosen = dataclasses.replace(chosen, phase_names=phases, frequency_rated_hz=frequency_hz)
            self._start_from(chosen)
            return
        self._window.session.start(
            lambda desk: desk.new_job(header, frequency_rated_hz=frequency_hz, phase_names=phases),
            refused=self.say,
            done=lambda _change: self._started(),
        )

    def _start_from(self, template: Template) -> None:
        number, title, site = (field.value() for field in (self.number, self.title, self.site))
        self._window.session.start(
            lambda desk: desk.new_job_from(template, number_text=number, title_text=title, site_text=site),
            refused=self.say,
            done=lambda _change: self._started(template.core_classes),
        )

    def _started(self, core_classes: tuple[str, ...] = ()) -> None:
        self.accept()
        self._window.deeds.add_set(core_classes)
