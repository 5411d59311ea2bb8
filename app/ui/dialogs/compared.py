"""Dialogs of what stands beside the readings: a curve, a deviation, a permit, a person."""

from __future__ import annotations

import dataclasses
import uuid
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final, Literal

from PySide6.QtGui import QGuiApplication

from app.desk.references import DISPOSITIONS
from app.ui.dialogs.frame import DialogFrame
from app.ui.shell import numbers
from app.ui.shell.lettering import Words
from app.ui.texts import text
from ctcore.job import Core, Deviation, Permit, Person

if TYPE_CHECKING:
    from app.ui.window import MainWindow

KINDS: Final = (("certificate", text("compared.certificate")), ("previous", text("compared.previous")))
_RESPONSES: Final = tuple((name, text(f"response.{name}")) for name in ("mean", "true_rms", "peak"))


class CurveDialog(DialogFrame):
    """A curve of the certificate or a previous test, pasted as two columns."""

    def __init__(self, window: MainWindow, core: Core, source_text: str) -> None:
        super().__init__(
            text("compared.curve"), main=text("compared.curve_main"), intro=text("compared.curve_intro"),
            width=720, parent=window,
        )  # fmt: skip
        self._window, self._core = window, core
        taps = [(tap.tap_id, tap.terminals_text) for tap in core.taps]
        self.source = self.add_field(text("compared.source"), source_text, must_be_stated=True)
        self.kind = self.add_field(text("compared.kind"), KINDS[0][1], choices=KINDS)
        self.tap = self.add_field(
            text("compared.tap"), core.full_tap.terminals_text, choices=taps, must_be_stated=True
        )
        assert window.session.view is not None
        frequency = numbers.shown(window.session.view.job.frequency_rated_hz, "Hz", window.settings)
        self.frequency = self.add_field(text("compared.frequency"), frequency, must_be_stated=True)
        self.voltage = self.add_field(text("compared.voltage_by"), _RESPONSES[0][1], choices=_RESPONSES)
        self.current = self.add_field(text("compared.current_by"), _RESPONSES[1][1], choices=_RESPONSES)
        self.block = ""
        self.told = Words(text("compared.no_block"), role="value", bold=True)
        self.body.addWidget(self.told)
        paste = self.add_button(text("plates_in.paste"), "Alt+V")
        paste.answer_key()
        paste.clicked.connect(self.paste)
        self.confirmed.connect(self._keep)

    def paste(self) -> None:
        """Take the two columns of the clipboard."""
        self.block = QGuiApplication.clipboard().text()
        count = sum(bool(line.strip()) for line in self.block.splitlines())
        self.told.setText(text("compared.block", count=count) if count else text("plates_in.no_text"))
        self.fit()

    def _keep(self) -> None:
        if not self.block.strip():
            self.say(text("compared.no_block"))
            return
        frequency_hz, reason = numbers.read(self.frequency.value(), "Hz", self._window.settings)
        self.frequency.say(reason or ("" if frequency_hz else text("field.not_stated_reason")))
        if not frequency_hz:
            return
        kind: Literal["certificate", "previous"] = (
            "previous" if self.kind.value() == "previous" else "certificate"
        )
        core_id, tap_id, block = self._core.core_id, self.tap.value(), self.block
        source, voltage, current = self.source.value(), self.voltage.value(), self.current.value()
        self._window.session.do(
            lambda desk, job_id: desk.set_reference_curve(
                job_id, core_id, tap_id, kind=kind, block_text=block, source_text=source,
                frequency_hz=frequency_hz, voltage_response=voltage, current_response=current,
            ),
            refused=self.say,
            done=lambda _change: self.accept(),
        )  # fmt: skip


class DeviationDialog(DialogFrame):
    """What is done about a deviation, by whom, until when."""

    def __init__(self, window: MainWindow, deviation: Deviation) -> None:
        super().__init__(
            text("deviation.heading"), main=text("deviation.keep"), intro=deviation.found_text,
            width=720, parent=window,
        )  # fmt: skip
        self._window, self._deviation_id = window, deviation.deviation_id
        choices = [("", text("deviation.open")), *((words, words) for words in DISPOSITIONS)]
        shown = deviation.disposition_text or text("deviation.open")
        self.disposition = self.add_field(text("deviation.done"), shown, choices=choices)
        self.owner = self.add_field(text("deviation.owner"), deviation.owner_text)
        self.due = self.add_field(text("deviation.due"), deviation.due_on or "", help_text="2031-05-04")
        self.confirmed.connect(self._keep)

    def _keep(self) -> None:
        done, owner, due = self.disposition.value(), self.owner.value(), self.due.value()
        self._window.session.do(
            lambda desk, job_id: desk.settle_deviation(
                job_id, self._deviation_id, disposition_text=done, owner_text=owner, due_on=due or None
            ),
            refused=self.say,
            done=lambda _change: self.accept(),
        )


class PermitDialog(DialogFrame):
    """One safety document: numbers and times only."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(
            text("permit.heading"), main=text("permit.main"), intro=text("permit.intro"), parent=window
        )
        self._window = window
        self.kind = self.add_field(text("permit.kind"), text("permit.kind_first"))
        self.number = self.add_field(text("permit.number"), must_be_stated=True)
        self.issued = self.add_field(text("permit.issued"))
        self.cancelled = self.add_field(text("permit.cancelled"))
        self.confirmed.connect(self._keep)

    def _keep(self) -> None:
        made = Permit(
            kind_text=self.kind.value(), number_text=self.number.value(),
            issued_text=self.issued.value(), cancelled_text=self.cancelled.value(),
        )  # fmt: skip
        self._window.session.do(
            lambda desk, job_id: desk.set_permits(
                job_id,
                [
                    *(
                        one
                        for one in desk.view(job_id).job.header.permits
                        if (one.kind_text, one.number_text) != (made.kind_text, made.number_text)
                    ),
                    made,
                ],
            ),
            refused=self.say,
            done=lambda _change: self.accept(),
        )


class PersonDialog(DialogFrame):
    """A person of the job: employer and authorisation; what a witness watched is asked after it."""

    def __init__(self, window: MainWindow, person: Person | None = None) -> None:
        super().__init__(
            text("person.heading"), main=text("people.add_main"), intro=text("people.add_intro"),
            width=720, parent=window,
        )  # fmt: skip
        self._window = window
        self._person = person or Person(person_id=str(uuid.uuid4()), name_text="")
        self.name = self.add_field(text("people.name_text"), self._person.name_text, must_be_stated=True)
        self.employer = self.add_field(text("person.employer"), self._person.employer_text)
        self.authorisation = self.add_field(text("person.authorisation"), self._person.authorisation_text)
        watched = self.add_button(text("person.watched"), "Alt+W")
        watched.answer_key()
        watched.clicked.connect(lambda: self._keep(then=self._ask_watched))
        self.confirmed.connect(self._keep)

    def _ask_watched(self, person: Person) -> None:
        from app.ui.dialogs.watched import WatchedDialog

        WatchedDialog(self._window, person).open()

    def _keep(self, *, then: Callable[[Person], None] | None = None) -> None:
        if not self.name.value():
            self.name.say(text("person.no_name"))
            return
        made = dataclasses.replace(
            self._person,
            name_text=self.name.value(),
            employer_text=self.employer.value(),
            authorisation_text=self.authorisation.value(),
        )
        self._window.session.do(
            lambda desk, job_id: desk.set_person(job_id, made),
            refused=self.say,
            done=lambda _change: self._kept(made, then),
        )

    def _kept(self, made: Person, then: Callable[[Person], None] | None) -> None:
        self.accept()
        if then is not None:
            then(made)


class ChoosePersonDialog(DialogFrame):
    """Which of the people is to be changed."""

    def __init__(self, window: MainWindow, people: Sequence[Person]) -> None:
        super().__init__(text("people.button.edit"), main=text("people.button.edit"), parent=window)
        self._window = window
        self._people = {person.person_id: person for person in people}
        choices = [(person.person_id, person.name_text) for person in people]
        self.who = self.add_field(text("people.name_text"), people[0].name_text, choices=choices)
        self.confirmed.connect(self._go_on)

    def _go_on(self) -> None:
        person = self._people.get(self.who.value())
        if person is not None:
            self.accept()
            PersonDialog(self._window, person).open()
