"""The limits of a limit set: what holds for which class of cores, where it stands, how it is changed."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar, Final

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHeaderView

from app.desk.limit_sets import LimitSet, SetLimit
from app.ui.dialogs.frame import DialogFrame
from app.ui.models.lines import LinesModel
from app.ui.models.plain import rule_words
from app.ui.shell import numbers
from app.ui.shell.fields import FormField
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text
from app.words import figures, quantity
from app.words.figures import shown
from ctcore.judgement.office_rules import OFFICE_RULES

if TYPE_CHECKING:
    from app.desk.registers import Registers
    from app.ui.window import MainWindow

_WIDTHS: Final = {"class": 170, "what": 330, "low": 120, "high": 120, "clause": 140}
_NARROW: Final = 760
_LEAST_TALL, _TALLEST_ROWS = 150, 6
Kept = Callable[["Registers", LimitSet], None]


class SetLimitsModel(LinesModel[Any]):
    """A row per limit."""

    columns: ClassVar = ("class", "what", "low", "high", "clause")
    heads: ClassVar = "set_limits.head"

    def words(self, one: SetLimit, column: str) -> str:
        """What a limit says in a column."""
        if column in ("low", "high"):
            limit = one.limit_low if column == "low" else one.limit_high
            return "–" if limit is None else shown(OFFICE_RULES[one.rule], limit)
        if column == "class":
            return one.class_text or text("set_limits.every_class")
        return rule_in_words(one.rule) if column == "what" else one.clause_text


class SetLimitsDialog(DialogFrame):
    """Each limit is kept at once and the next one is asked for; Escape leaves."""

    def __init__(self, window: MainWindow, limits: LimitSet, kept: Kept) -> None:
        super().__init__(
            text("set_limits.heading", name=limits.name_text), main=text("set_limits.main"),
            intro=text("set_limits.intro"), width=920, parent=window,
        )  # fmt: skip
        self._window, self._set, self._kept = window, limits, kept
        self.model, self.table = SetLimitsModel(self), RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(self.windowTitle())
        self.table.chosen.connect(self._take_up)
        for place, name in enumerate(self.model.columns):
            self.table.setColumnWidth(place, _WIDTHS[name])
        self.table.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        self.body.addWidget(self.table)
        rules = [(rule, rule_in_words(rule)) for rule in OFFICE_RULES]
        self.class_field = FormField(text("set_limits.class"), help_text=text("set_limits.class_help"))
        self.rule = FormField(text("set_limits.what"), choices=rules)
        self.low, self.high = FormField(text("set_limits.low")), FormField(text("set_limits.high"))
        self.clause = FormField(text("set_limits.clause"))
        self.add_row(self.class_field, self.rule)
        self.add_row(self.low, self.high, self.clause)
        self.rule.show_text(rules[0][0])
        self.rule.kept.connect(lambda _value: self._note_units())
        self.out = self.add_button(text("set_limits.out"), "Alt+D")
        self.out.answer_key()
        self.out.clicked.connect(self._take_out)
        self.cancel.set_words(text("set_limits.close"))
        self.confirmed.connect(self._keep)
        self._show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the clause gives way; it stands in its field when a line is taken up."""
        super().resizeEvent(event)
        narrow = self.width() < _NARROW
        self.table.setColumnHidden(self.model.columns.index("clause"), narrow)
        for place, name in enumerate(self.model.columns):
            wide = _WIDTHS[name]
            self.table.setColumnWidth(place, 96 if narrow and wide < _WIDTHS["what"] else wide)

    def _show(self) -> None:
        self.model.show_lines(self._set.limits)
        rows = min(len(self._set.limits), _TALLEST_ROWS)
        self.table.setFixedHeight(max(_LEAST_TALL, 44 * (rows + 1) + 4))
        self.out.set_reason("" if self._set.limits else text("set_limits.none"))
        self._note_units()
        self.fit()

    def _note_units(self) -> None:
        unit = quantity(OFFICE_RULES[self.rule.value()]).unit
        for field in (self.low, self.high):
            field.note(text("set_limits.unit", unit=figures.symbol(unit)) if unit not in ("", "1") else "")

    def _take_up(self, row: int) -> None:
        """Put a limit into the fields, to be changed."""
        one = self.model.line(row)
        if one is None:
            return
        unit = quantity(OFFICE_RULES[one.rule]).unit
        self.class_field.show_text(one.class_text)
        self.rule.show_text(one.rule)
        for field, limit in ((self.low, one.limit_low), (self.high, one.limit_high)):
            field.show_text(numbers.shown(limit, unit, self._window.settings))
        self.clause.show_text(one.clause_text)
        self._note_units()
        self.class_field.line.setFocus()

    def _keep(self) -> None:
        rule = self.rule.value()
        unit = quantity(OFFICE_RULES[rule]).unit
        found: list[float | None] = []
        for field in (self.low, self.high):
            value, reason = numbers.read(field.value(), unit, self._window.settings)
            field.say(reason)
            if reason:
                field.line.setFocus()
                return
            found.append(value)
        made = SetLimit(
            rule=rule, class_text=self.class_field.value(), limit_low=found[0], limit_high=found[1],
            clause_text=self.clause.value(),
        )  # fmt: skip
        self._write((*self._others(made), made), self._emptied)

    def _others(self, made: SetLimit) -> tuple[SetLimit, ...]:
        key = (made.rule, _plain(made.class_text))
        return tuple(one for one in self._set.limits if (one.rule, _plain(one.class_text)) != key)

    def _take_out(self) -> None:
        one = self.model.line(self.table.currentIndex().row())
        if one is None:
            self.say(text("set_limits.choose"))
            self.table.setFocus()
            return
        self._write(tuple(other for other in self._set.limits if other != one), lambda: None)

    def _write(self, limits: tuple[SetLimit, ...], after: Callable[[], None]) -> None:
        made = dataclasses.replace(self._set, limits=limits)

        def done(registers: Registers) -> None:
            self._set = made
            self._kept(registers, made)
            after()
            self._show()

        self._window.session.fetch(lambda desk: desk.register(made), done=done, refused=self.say)

    def _emptied(self) -> None:
        for field in (self.low, self.high):
            field.show_text("")
        self.class_field.line.setFocus()


def rule_in_words(rule: str) -> str:
    """The quantity that a rule judges, and the rule where that alone does not tell it from others.

    >>> rule_in_words("ratio.phase")
    'phase displacement'
    """
    name = quantity(OFFICE_RULES[rule]).name
    alike = list(OFFICE_RULES.values()).count(OFFICE_RULES[rule]) > 1
    return f"{name} ({rule_words(rule)})" if alike else name


def _plain(class_text: str) -> str:
    return "".join(class_text.casefold().split())
