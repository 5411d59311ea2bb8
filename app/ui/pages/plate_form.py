"""The fields of the plate page: made anew when the plate has another shape, else only filled again."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.settings import Settings
from app.ui.pages import plate_edits as edits
from app.ui.shell import class_words
from app.ui.shell.fields import FormBox, FormField
from app.ui.shell.key_button import PlainButton
from app.ui.shell.lettering import Line, Words
from app.ui.shell.tab_button import TabButton
from app.ui.shell.titles import core_words
from app.ui.texts import text
from app.words import all_procedures, told
from ctcore.job import CT, Core, Position
from ctcore.plan import WHY

Key = tuple[str, ...]
_CORE_ROWS: Final = (
    ("class_text", "duty_text"),
    ("conductor", "class_on_every_tap", "low_leakage", "r_winding_75degc_plate_ohm"),
    ("service_tap_id", "remark_text"),
)
_PLAN_ABREAST: Final = 6
OFFER_PLAN_KEY: Final = "Alt+P"
_WIDE: Final = {"class_text": 2, "remark_text": 2, "name_text": 2}


class PlateForm(FormBox):
    """Tells `kept(key, text)` when a field is left, and `asked(what, id)` for tabs and buttons."""

    kept = Signal(object, str)
    asked = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.by_key: dict[Key, FormField] = {}
        self._held: dict[Key, tuple[str, str]] = {}
        self._shape: object = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(16, 10, 16, 10)
        self._inner: QWidget | None = None
        self._settings: Settings | None = None

    def show_plate(
        self, found: tuple[Position, CT] | None, core_id: str, *, settings: Settings, locked: bool
    ) -> None:
        """Show a plate with one of its cores."""
        self._settings = settings
        shape = (found and _shape(*found, core_id), locked)
        if shape != self._shape:
            self._shape = shape
            self._make(found, core_id, locked=locked)
        if found is not None:
            self._fill(*found, core_id)

    def key_of(self, widget: QWidget | None) -> Key | None:
        """Which field a line belongs to."""
        return next((key for key, field in self.by_key.items() if field.line is widget), None)

    def hold(self, field: FormField, words: str) -> None:
        """Keep a refused text with its reason, so that it is here again when its plate is."""
        key = self.key_of(field.line)
        if key is not None:
            self._held[key] = (words, field.reason)

    def let_go(self, key: Key) -> None:
        """A text was taken: there is nothing to hold."""
        self._held.pop(key, None)
        if key in self.by_key:
            self.by_key[key].say("")

    # Making

    def _make(self, found: tuple[Position, CT] | None, core_id: str, *, locked: bool) -> None:
        self.forget()
        self.by_key.clear()
        if self._inner is not None:
            self._column.removeWidget(self._inner)
            self._inner.hide()
            self._inner.deleteLater()
        self._inner = QWidget()
        column = QVBoxLayout(self._inner)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        if found is None:
            column.addWidget(Words(text("plate.empty"), role="body"))
        else:
            self._make_set(column, *found)
            self._make_ct(column, found[1])
            self._make_core(column, found[1], core_id, locked=locked)
        column.addStretch(1)
        self._column.addWidget(self._inner)
        for field in self.by_key.values():
            field.set_locked(locked)

    def _make_set(self, column: QVBoxLayout, position: Position, ct: CT) -> None:
        self._row(
            column,
            self._field(("position", "name_text"), text("plate.name_text"), must_be_stated=True),
            self._field(("position", "p1_faces_text"), text("plate.p1_faces_text")),
            *(
                self._field(("serial", "serial_text", one.ct_id), text("plate.serial", phase=one.phase_text))
                for one in position.cts
            ),
        )
        tabs = QHBoxLayout()
        tabs.setSpacing(8)
        for one in position.cts:
            tabs.addWidget(
                self._tab(text("plate.tab_ct", phase=one.phase_text), "ct", one.ct_id, is_open=one is ct)
            )
        tabs.addStretch(1)
        column.addLayout(tabs)

    def _make_ct(self, column: QVBoxLayout, ct: CT) -> None:
        fields = [
            self._field(("ct", ask.name, ct.ct_id), text(f"plate.{ask.name}"), choices=ask.choices)
            for ask in edits.CT_ASKS
        ]
        self._row(column, *fields)
        tabs = QHBoxLayout()
        tabs.setSpacing(8)
        self._core_tabs = {
            core.core_id: self._tab("", "core", core.core_id, is_open=False) for core in ct.cores
        }
        for tab in self._core_tabs.values():
            tabs.addWidget(tab)
        tabs.addStretch(1)
        column.addLayout(tabs)

    def _make_core(self, column: QVBoxLayout, ct: CT, core_id: str, *, locked: bool) -> None:
        core = edits.core_of(ct, core_id)
        if core is None:
            column.addWidget(Words(text("plate.no_core")))
            return
        asks = {ask.name: ask for ask in edits.CORE_ASKS}
        for names in _CORE_ROWS:
            self._row(column, *(self._core_field(core, asks[name]) for name in names))
        plan = [
            self._field(
                ("plan", test.procedure_id, core_id),
                text("plate.planned", test=test.short_name),
                choices=edits.YES_NO,
                help_text=told(f"plan.{test.procedure_id}", WHY[test.procedure_id]),
            )
            for test in all_procedures()
        ]
        for start in range(0, len(plan), _PLAN_ABREAST):
            self._row(column, *plan[start : start + _PLAN_ABREAST])
        offer = PlainButton(f"{text('plate.offer_plan')}, {OFFER_PLAN_KEY}", OFFER_PLAN_KEY)
        offer.setEnabled(not locked)
        offer.answer_key()
        offer.clicked.connect(lambda: self.asked.emit("offer_plan", core_id))
        column.addWidget(offer, 0, Qt.AlignmentFlag.AlignLeft)
        self._make_taps(column, core)

    def _core_field(self, core: Core, ask: edits.Ask) -> FormField:
        choices = ask.choices
        if ask.name == "service_tap_id":
            choices = (
                *((tap.tap_id, tap.terminals_text) for tap in core.taps),
                ("", text("field.not_stated")),
            )
        field = self._field(
            ("core", ask.name, core.core_id), text(f"plate.{ask.name}"), choices=choices,
            must_be_stated=ask.must_be_stated,
        )  # fmt: skip
        if ask.name == "class_text":
            field.line.textEdited.connect(lambda _text: class_words.check(field))
        return field

    def _make_taps(self, column: QVBoxLayout, core: Core) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(4)
        for place, ask in enumerate(edits.TAP_ASKS):
            grid.addWidget(Line(text(f"tap.{ask.name}"), role="second", bold=True), 0, place)
        for row, tap in enumerate(core.taps, start=1):
            for place, ask in enumerate(edits.TAP_ASKS):
                field = self._field(
                    ("tap", ask.name, core.core_id, tap.tap_id), "", must_be_stated=ask.must_be_stated,
                    spoken=text("tap.spoken", row=row, what=text(f"tap.{ask.name}")),
                )  # fmt: skip
                grid.addWidget(field, row, place, Qt.AlignmentFlag.AlignTop)
            if len(core.taps) > 1:
                button = PlainButton(text("plate.take_out"))
                button.setFixedHeight(44)
                button.setAccessibleName(text("plate.take_out_spoken", terminals=tap.terminals_text))
                button.clicked.connect(
                    lambda _checked=False, tap_id=tap.tap_id: self.asked.emit("take_out", tap_id)
                )
                grid.addWidget(button, row, len(edits.TAP_ASKS), Qt.AlignmentFlag.AlignTop)
        column.addLayout(grid)

    def _field(self, key: Key, caption: str, **kinds: object) -> FormField:
        if "help_text" not in kinds:
            kinds["help_text"] = text(f"help.field.{key[1]}")
        field = FormField(caption, **kinds)  # type: ignore[arg-type]
        self.by_key[key] = field
        self.adopt(field)
        field.kept.connect(lambda words: self.kept.emit(key, words))
        return field

    def _tab(self, words: str, what: str, which: str, *, is_open: bool) -> TabButton:
        tab = TabButton(words, is_open=is_open)
        tab.clicked.connect(lambda: self.asked.emit(what, which))
        return tab

    def _row(self, column: QVBoxLayout, *fields: FormField) -> None:
        row = QHBoxLayout()
        row.setSpacing(8)
        names = {field: key[1] for key, field in self.by_key.items()}
        for field in fields:
            row.addWidget(field, _WIDE.get(names.get(field, ""), 1), Qt.AlignmentFlag.AlignTop)
        column.addLayout(row)

    # Filling

    def _fill(self, position: Position, ct: CT, core_id: str) -> None:
        assert self._settings is not None
        for key, field in self.by_key.items():
            words = self._text(key, position, ct, core_id)
            field.show_text(words)
            if key in self._held and not field.reason:
                held, reason = self._held[key]
                field.line.setText(held)
                field.say(reason)
            if key[1] == "class_text" and not field.reason and not field.line.isModified():
                class_words.check(field)
        for core in ct.cores:
            tab = self._core_tabs[core.core_id]
            tab.show_words(text("plate.tab_core", number=core.number, words=core_words(core)))
            tab.set_open(core.core_id == core_id)

    def _text(self, key: Key, position: Position, ct: CT, core_id: str) -> str:
        assert self._settings is not None
        kind, name = key[0], key[1]
        if kind == "position":
            return str(getattr(position, name))
        if kind == "serial":
            return next(one.serial_text for one in position.cts if one.ct_id == key[2])
        core = edits.core_of(ct, core_id)
        if kind == "ct":
            return edits.shown(ct, next(ask for ask in edits.CT_ASKS if ask.name == name), self._settings)
        assert core is not None
        if kind == "plan":
            return "yes" if edits.is_planned(core, name) else "no"
        if kind == "core":
            return edits.shown(core, next(ask for ask in edits.CORE_ASKS if ask.name == name), self._settings)
        tap = core.tap(key[3])
        assert tap is not None
        return edits.shown(tap, next(ask for ask in edits.TAP_ASKS if ask.name == name), self._settings)


def _shape(position: Position, ct: CT, core_id: str) -> object:
    core = edits.core_of(ct, core_id)
    return (
        ct.ct_id,
        core_id,
        tuple((one.ct_id, one.phase_text) for one in position.cts),
        tuple(one.core_id for one in ct.cores),
        tuple((tap.tap_id, tap.terminals_text) for tap in core.taps) if core else (),
    )
