"""A set of transformers at one place: its name, its phases, a class per core and the rated currents."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.new_job import phases_of
from app.ui.shell import class_words, numbers
from app.ui.shell.fields import FormField
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

CORE_COUNT: Final = 4


class NewSetDialog(DialogFrame):
    """Adds a position with a transformer per phase, all with the same cores; a template may offer theirs."""

    def __init__(self, window: MainWindow, core_classes: Sequence[str] = ()) -> None:
        super().__init__(
            text("new_set.heading"),
            main=text("new_set.main"),
            intro=text("new_set.intro"),
            width=720,
            parent=window,
        )
        assert window.session.view is not None
        self._window = window
        self.name = FormField(text("new_set.name"), must_be_stated=True)
        self.phases = FormField(text("new_set.phases"), help_text=text("new_set.phases_help"))
        self.phases.show_text(" ".join(window.session.view.job.phase_names))
        self.add_row(self.name, self.phases)
        self.primary = FormField(text("new_set.primary"), must_be_stated=True)
        self.secondary = FormField(text("new_set.secondary"), must_be_stated=True)
        self.add_row(self.primary, self.secondary)
        self.cores = [
            FormField(text("new_set.core", number=number + 1), help_text=text("plate.class_help"))
            for number in range(CORE_COUNT)
        ]
        for field, words in zip(self.cores, core_classes, strict=False):
            field.show_text(words)
        for field in self.cores:
            field.line.textEdited.connect(lambda _text, field=field: class_words.check(field))
        self.add_row(*self.cores[:2])
        self.add_row(*self.cores[2:])
        self.confirmed.connect(self._add)

    def _current(self, field: FormField) -> float | None:
        value, reason = numbers.read(field.value(), "A", self._window.settings)
        if value is not None and value <= 0.0:
            value, reason = None, text("field.above_zero")
        field.say(reason or ("" if value is not None else text("field.not_stated_reason")))
        return value

    def _add(self) -> None:
        primary_a, secondary_a = self._current(self.primary), self._current(self.secondary)
        self.name.say("" if self.name.value() else text("new_set.no_name"))
        self.phases.say("" if phases_of(self.phases.value()) else text("new_set.no_phases"))
        for field in self.cores:
            class_words.check(field)
        wrong = [field for field in self.form.fields if field.reason]
        if wrong or primary_a is None or secondary_a is None:
            wrong[0].line.setFocus()
            return
        classes = [field.value() for field in self.cores]
        while len(classes) > 1 and not classes[-1]:
            classes.pop()
        name, phases = self.name.value(), phases_of(self.phases.value())
        self._window.session.do(
            lambda desk, job_id: desk.add_position(
                job_id,
                name,
                phases=phases,
                core_classes=classes,
                i_primary_rated_a=primary_a,
                i_secondary_rated_a=secondary_a,
            ),
            refused=self.say,
            done=lambda change: self._added(change.view.job.positions[-1].cts[0].ct_id),
        )

    def _added(self, ct_id: str) -> None:
        self.accept()
        self._window.go_to_plate(ct_id)
