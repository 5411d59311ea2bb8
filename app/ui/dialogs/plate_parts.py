"""Further pairs of terminals, tapped windings and cores of a plate."""

from __future__ import annotations

import dataclasses
import uuid
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell import class_words, numbers
from app.ui.shell.fields import FormField
from app.ui.texts import text
from app.ui.widgets.taps_sketch import TapsSketch
from app.words import retold
from ctcore.errors import BadInput
from ctcore.job import Core, Tap
from ctcore.taps import pairs_from_sections

if TYPE_CHECKING:
    from app.ui.window import MainWindow


class _PlateDialog(DialogFrame):
    """What these questions share: reading a number that is above zero, and going to what is wrong."""

    def __init__(self, window: MainWindow, name: str) -> None:
        super().__init__(
            text(f"{name}.heading"),
            main=text(f"{name}.main"),
            intro=text(f"{name}.intro"),
            width=680,
            parent=window,
        )
        self._settings = window.settings
        self.confirmed.connect(self._try)

    def _number(self, field: FormField, unit: str, *, optional: bool = False) -> float | None:
        value, reason = numbers.read(field.value(), unit, self._settings)
        if not reason and value is not None and value <= 0.0:
            reason = text("field.above_zero")
        if not reason and value is None and not optional:
            reason = text("field.not_stated_reason")
        field.say(reason)
        return value

    def _try(self) -> None:
        made = self._make()
        wrong = [field for field in self.form.fields if field.reason]
        if wrong:
            wrong[0].line.setFocus()
        elif made is not None:
            self._tell(made)

    def _make(self) -> object:
        raise NotImplementedError

    def _tell(self, made: object) -> None:
        raise NotImplementedError


class TapDialog(_PlateDialog):
    """One more pair of terminals of a core."""

    made = Signal(object)

    def __init__(self, window: MainWindow, core: Core) -> None:
        super().__init__(window, "tap")
        self.terminals = FormField(text("tap.terminals_text"), must_be_stated=True)
        self.turns = FormField(text("tap.turns_secondary_count"))
        self.primary = FormField(text("tap.i_primary_rated_a"), must_be_stated=True)
        self.secondary = FormField(text("tap.i_secondary_rated_a"), must_be_stated=True)
        if core.taps:
            self.secondary.show_text(numbers.shown(core.taps[-1].i_secondary_rated_a, "A", window.settings))
        self.add_row(self.terminals, self.primary, self.secondary, self.turns)

    def _make(self) -> Tap | None:
        self.terminals.say("" if self.terminals.value() else text("tap.no_terminals"))
        primary_a, secondary_a = self._number(self.primary, "A"), self._number(self.secondary, "A")
        turns_count = self._number(self.turns, "1", optional=True)
        if primary_a is None or secondary_a is None:
            return None
        return Tap(
            tap_id=str(uuid.uuid4()),
            terminals_text=self.terminals.value(),
            i_primary_rated_a=primary_a,
            i_secondary_rated_a=secondary_a,
            turns_secondary_count=turns_count,
        )

    def _tell(self, made: object) -> None:
        self.made.emit(made)


class SectionsDialog(_PlateDialog):
    """Every pair of leads of a tapped winding, out of the turns between neighbouring leads."""

    made = Signal(object)

    def __init__(self, window: MainWindow, core: Core) -> None:
        super().__init__(window, "sections")
        self._core = core
        self.sections = self.add_field(
            text("sections.turns"), must_be_stated=True, help_text=text("sections.turns_help")
        )
        self.secondary = FormField(text("tap.i_secondary_rated_a"), must_be_stated=True)
        self.letter = FormField(text("sections.letter"), must_be_stated=True)
        self.letter.show_text("X")
        self.secondary.show_text("5")
        self.add_row(self.secondary, self.letter)
        self.sketch = TapsSketch()
        self.body.addWidget(self.sketch)
        for field in (self.sections, self.letter):
            field.line.textEdited.connect(lambda _text: self._draw())

    def _draw(self) -> None:
        """The winding as far as it is typed."""
        read = [numbers.read(word, "1", self._settings) for word in self._words()]
        turns = [value for value, why in read if value is not None and not why]
        was_shown = self.sketch.isVisible()
        self.sketch.show_winding(tuple(turns) if len(turns) == len(read) else (), self.letter.line.text())
        if self.sketch.isVisible() != was_shown:
            self.fit()

    def _words(self) -> list[str]:
        return self.sections.line.text().replace(";", " ").replace(",", " ").split()

    def _make(self) -> tuple[Tap, ...] | None:
        secondary_a = self._number(self.secondary, "A")
        self.letter.say("" if self.letter.value() else text("field.not_stated_reason"))
        turns = self._turns()
        if turns is None or secondary_a is None:
            return None
        try:
            pairs = pairs_from_sections(
                turns, i_secondary_rated_a=secondary_a, lead_letter=self.letter.value()
            )
        except BadInput as problem:
            said = retold(problem.reason)
            self.sections.say(f"{said[:1].upper()}{said[1:]}.")
            return None
        known = {tap.terminals_text: tap.tap_id for tap in self._core.taps}
        return tuple(
            Tap(
                tap_id=known.get(pair.name, str(uuid.uuid4())),
                terminals_text=pair.name,
                i_primary_rated_a=pair.i_primary_rated_a,
                i_secondary_rated_a=secondary_a,
                turns_secondary_count=pair.turns_count,
            )
            for pair in pairs
        )

    def _turns(self) -> tuple[float, ...] | None:
        words = self._words()
        read = [numbers.read(word, "1", self._settings) for word in words]
        reason = next((f"{word}: {why}" for word, (_, why) in zip(words, read, strict=True) if why), "")
        self.sections.say(reason or ("" if words else text("field.not_stated_reason")))
        return None if self.sections.reason else tuple(value for value, _ in read if value is not None)

    def _tell(self, made: object) -> None:
        self.made.emit(made)


class CoreDialog(_PlateDialog):
    """One more core."""

    made = Signal(object)

    def __init__(self, window: MainWindow, cores: tuple[Core, ...]) -> None:
        super().__init__(window, "core")
        self._number_of_core = max((core.number for core in cores), default=0) + 1
        self.class_text = self.add_field(
            text("plate.class_text"), must_be_stated=True, help_text=text("plate.class_help")
        )
        self.class_text.line.textEdited.connect(lambda _text: class_words.check(self.class_text))
        self.terminals = FormField(text("tap.terminals_text"), must_be_stated=True)
        self.primary = FormField(text("tap.i_primary_rated_a"), must_be_stated=True)
        self.secondary = FormField(text("tap.i_secondary_rated_a"), must_be_stated=True)
        self.terminals.show_text(f"{self._number_of_core}S1-{self._number_of_core}S2")
        if cores:
            full = cores[-1].full_tap
            self.primary.show_text(numbers.shown(full.i_primary_rated_a, "A", window.settings))
            self.secondary.show_text(numbers.shown(full.i_secondary_rated_a, "A", window.settings))
        self.add_row(self.terminals, self.primary, self.secondary)

    def _make(self) -> Core | None:
        class_words.check(self.class_text)
        self.terminals.say("" if self.terminals.value() else text("tap.no_terminals"))
        primary_a, secondary_a = self._number(self.primary, "A"), self._number(self.secondary, "A")
        if primary_a is None or secondary_a is None:
            return None
        tap = Tap(
            tap_id=str(uuid.uuid4()),
            terminals_text=self.terminals.value(),
            i_primary_rated_a=primary_a,
            i_secondary_rated_a=secondary_a,
        )
        return Core(
            core_id=str(uuid.uuid4()),
            number=self._number_of_core,
            class_text=self.class_text.value(),
            taps=(tap,),
        )

    def _tell(self, made: object) -> None:
        self.made.emit(made)


def with_taps(core: Core, taps: tuple[Tap, ...]) -> Core:
    """The core with other pairs of terminals; the one in service stays where it is still there."""
    service = core.service_tap_id if core.service_tap_id in {tap.tap_id for tap in taps} else None
    return dataclasses.replace(core, taps=taps, service_tap_id=service)
