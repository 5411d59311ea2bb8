"""Instruments with their calibration, and the people whose names stand on the sheet."""

from __future__ import annotations

import dataclasses
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QHeaderView, QVBoxLayout, QWidget

from app.desk import Change, Desk
from app.ui.dialogs.compared import ChoosePersonDialog, PersonDialog
from app.ui.dialogs.reason import ReasonDialog
from app.ui.models.instruments import InstrumentsModel
from app.ui.shell import numbers
from app.ui.shell.fields import FormBox, FormField
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.shell.scroll import Scroll
from app.ui.texts import text
from ctcore.job import Instrument, Person

if TYPE_CHECKING:
    from app.ui.window import MainWindow

RESPONSES: Final = tuple(
    (name, text(f"response.{name}")) for name in ("mean", "true_rms", "peak", "not stated")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One field of an instrument."""

    name: str
    kind: str = "text"
    choices: tuple[tuple[str, str], ...] = ()
    must_be_stated: bool = False


ASKS: Final = (
    Ask(name="name_text", must_be_stated=True),
    Ask(name="kind_text"),
    Ask(name="serial_text"),
    Ask(name="response", choices=RESPONSES),
    Ask(name="spec_reading_percent", kind="percent"),
    Ask(name="spec_floor", kind="1"),
    Ask(name="spec_floor_unit"),
    Ask(name="certificate_text"),
    Ask(name="calibrated_on", kind="date"),
    Ask(name="due_on", kind="date", must_be_stated=True),
    Ask(name="checked_before_use_text"),
)


class PeoplePage(QWidget):
    """The list at the left, the instrument in hand at the right, people beneath."""

    page_id = "people"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self._held: dict[tuple[str, str], tuple[str, str]] = {}
        self.model = InstrumentsModel(self)
        self.table = RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("instrument.heading"))
        self.table.chosen.connect(lambda _row: self.fields["name_text"].line.setFocus())
        self.form = FormBox()
        self.fields: dict[str, FormField] = {}
        self.people = Words(role="value")
        self._shown_id = ""
        self._lay_out()
        self.table.selectionModel().currentRowChanged.connect(lambda _new, _old: self._fill())

    def show_change(self, change: Change) -> None:
        """Fill list and fields again."""
        before = self.model.line(self.table.currentIndex().row())
        job = change.view.job
        self.model.today = datetime.now().astimezone().date()
        self.model.show_lines(job.instruments)
        row = self.model.row_of(before.instrument_id) if before is not None else 0
        if self.model.rowCount():
            self.table.setCurrentIndex(self.model.index(max(row, 0), 0))
        self.people.setText(
            "\n".join(_person_words(person) for person in job.people) or text("people.nobody")
        )
        locked = text("plate.locked") if change.view.read_only_reason else ""
        for button in self.buttons.values():
            button.set_reason(locked)
        self._fill()
        for field in self.fields.values():
            field.set_locked(bool(locked) or self._shown() is None)

    def first_focus(self) -> None:
        """The list, or the button that adds the first instrument."""
        if self.model.rowCount():
            self.table.setFocus()
        else:
            self.buttons["instrument"].setFocus()

    def parts(self) -> list[Part]:
        """List, fields, buttons."""
        return [
            Part(self.table, self.table.setFocus),
            Part(self.form, self.fields["name_text"].line.setFocus),
            Part(self._foot, self.buttons["instrument"].setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _shown(self) -> Instrument | None:
        return self.model.line(self.table.currentIndex().row())

    def _fill(self) -> None:
        one = self._shown()
        other = one is None or one.instrument_id != self._shown_id
        self._shown_id = one.instrument_id if one is not None else ""
        for ask in ASKS:
            field = self.fields[ask.name]
            if other:
                field.say("")
                field.line.setModified(False)
            field.show_text("" if one is None else self._words(ask, one))
            held = self._held.get((self._shown_id, ask.name))
            if other and held is not None:
                field.line.setText(held[0])
                field.say(held[1])
            field.set_locked(one is None)

    def _words(self, ask: Ask, one: Instrument) -> str:
        value = getattr(one, ask.name)
        if ask.kind in ("percent", "1"):
            return numbers.shown(value, ask.kind, self._window.settings)
        return value or ""

    def _keep(self, ask: Ask, field: FormField, words: str) -> None:
        one = self._shown()
        if one is None:
            return
        value, reason = self._answer(ask, words)
        field.say(reason)
        key = (one.instrument_id, ask.name)
        if reason:
            self._held[key] = (words, reason)
            return
        self._held.pop(key, None)
        self._put(one.instrument_id, lambda old: dataclasses.replace(old, **{ask.name: value}), field.say)

    def _answer(self, ask: Ask, words: str) -> tuple[Any, str]:
        if ask.kind in ("percent", "1"):
            value, reason = numbers.read(words, ask.kind, self._window.settings)
            if not reason and value is not None and value < 0.0:
                return None, text("field.not_negative")
            return value, reason
        if ask.kind == "date":
            try:
                return (date.fromisoformat(words).isoformat() if words else None), ""
            except ValueError:
                return None, text("field.no_date")
        if ask.name == "name_text" and not words:
            return None, text("instrument.no_name")
        return words, ""

    def _put(
        self, instrument_id: str, change: Callable[[Instrument], Instrument], refused: Callable[[str], None]
    ) -> None:
        def verb(desk: Desk, job_id: str) -> Change:
            known = desk.view(job_id).job.instruments
            old = next(one for one in known if one.instrument_id == instrument_id)
            return desk.set_instrument(job_id, change(old))

        self._window.session.do(verb, refused=refused)

    def _add_instrument(self) -> None:
        dialog = ReasonDialog(
            text("instrument.add"),
            main=text("instrument.add_main"),
            caption=text("instrument.name_text"),
            parent=self._window,
        )

        def add(name: str) -> None:
            made = Instrument(instrument_id=str(uuid.uuid4()), name_text=name)

            def added(_change: Change) -> None:
                dialog.accept()
                self.table.setCurrentIndex(self.model.index(self.model.row_of(made.instrument_id), 0))
                self.fields["kind_text"].line.setFocus()

            self._window.session.do(
                lambda desk, job_id: desk.set_instrument(job_id, made), refused=dialog.say, done=added
            )

        dialog.given.connect(add)
        dialog.open()

    def _add_person(self) -> None:
        dialog = ReasonDialog(
            text("people.add"), text("people.add_intro"), main=text("people.add_main"),
            caption=text("people.name_text"), parent=self._window,
        )  # fmt: skip
        dialog.given.connect(
            lambda name: self._window.session.do(
                lambda desk, job_id: desk.set_person(
                    job_id, Person(person_id=str(uuid.uuid4()), name_text=name)
                ),
                refused=dialog.say,
                done=lambda _change: dialog.accept(),
            )
        )
        dialog.open()

    def _from_registers(self) -> None:
        """The office's list of instruments, from which one is named here."""
        self._window.page("registers").show_kind("instruments")
        self._window.show_page("registers")

    def _edit_person(self) -> None:
        """Ask which one by name, where there are several, then change that one."""
        view = self._window.session.view
        people = view.job.people if view is not None else ()
        if len(people) == 1:
            PersonDialog(self._window, people[0]).open()
        elif people:
            ChoosePersonDialog(self._window, people).open()

    # Parts

    def _lay_out(self) -> None:
        fields = self._fields_grid = QGridLayout()
        fields.setSpacing(8)
        for ask in ASKS:
            field = FormField(
                text(f"instrument.{ask.name}"), choices=ask.choices, must_be_stated=ask.must_be_stated
            )
            field.kept.connect(lambda words, ask=ask, field=field: self._keep(ask, field, words))
            self.fields[ask.name] = self.form.adopt(field)
        self._place_fields(2)
        self.form.finished.connect(self.table.setFocus)
        right = QVBoxLayout(self.form)
        right.setContentsMargins(16, 8, 16, 8)
        right.setSpacing(10)
        right.addLayout(fields)
        right.addWidget(Line(text("people.heading"), role="heading", bold=True))
        right.addWidget(self.people)
        right.addStretch(1)
        head = Panel("sheet", rules="right")
        left = QVBoxLayout(head)
        left.setContentsMargins(0, 10, 2, 0)
        title = QHBoxLayout()
        title.setContentsMargins(14, 0, 0, 0)
        title.addWidget(Line(text("instrument.heading"), role="heading", bold=True))
        left.addLayout(title)
        left.addWidget(self.table, 1)
        self._columns()
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(head, 55)
        middle.addWidget(Scroll(self.form), 45)
        self._foot = Foot(
            "people.button",
            (
                ("registers", "Alt+R", self._from_registers),
                ("edit", "Alt+E", self._edit_person),
                ("person", "Alt+P", self._add_person),
                ("instrument", "Alt+A", self._add_instrument),
            ),
        )
        self.buttons = self._foot.buttons
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(middle, 1)
        column.addWidget(self._foot)

    def _place_fields(self, abreast: int) -> None:
        for place, field in enumerate(self.fields.values()):
            self._fields_grid.addWidget(field, place // abreast, place % abreast, Qt.AlignmentFlag.AlignTop)

    def _columns(self) -> None:
        head = self.table.horizontalHeader()
        for column, name in enumerate(self.model.columns):
            self.table.setColumnWidth(column, {"name": 200, "serial": 130, "response": 170, "due": 200}[name])
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen serial number and response give way."""
        super().resizeEvent(event)
        self._place_fields(2 if self.width() >= 800 else 1)
        for name in ("serial", "response"):
            self.table.setColumnHidden(self.model.columns.index(name), self.width() < 1100)


def _person_words(person: Person) -> str:
    tests = sum(len(one.procedures) for one in person.watched)
    watched = text("people.watched", tests=tests, cores=len(person.watched)) if tests else ""
    parts = (person.name_text, person.employer_text, person.authorisation_text, watched)
    return ", ".join(filter(None, parts))
