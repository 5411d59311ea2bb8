"""What the core in hand is compared with: papers, figures of certificates; deviations and permits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QHeaderView, QVBoxLayout, QWidget

from app.desk import Change, View
from app.desk.references import COMPARED, EXPECTED, ExpectedName, Kind, differences, plate_text
from app.ui.dialogs.compared import KINDS, CurveDialog, DeviationDialog, PermitDialog
from app.ui.models.deviations import DeviationsModel
from app.ui.shell import numbers
from app.ui.shell.fields import FormBox, FormField
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.shell.scroll import Scroll
from app.ui.shell.titles import core_words, ct_words, place_of
from app.ui.texts import text
from app.words import quantity
from ctcore.job import Place, places

if TYPE_CHECKING:
    from app.ui.window import MainWindow

_WIDTHS: Final = {"where": 140, "found": 260, "done": 120, "owner": 100, "due": 110}


class ReferencesPage(QWidget):
    """Fields of the core in hand at the left, deviations and permits of the job at the right."""

    page_id = "references"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self._shown_core = ""
        self.heading = Line(role="heading", bold=True)
        self.form = FormBox()
        self.source = FormField(text("compared.source"), help_text=text("compared.source_help"))
        self.kind = FormField(text("compared.kind"), choices=KINDS)
        self.kind.show_text(KINDS[0][0])
        self.kind.kept.connect(lambda _value: self._fill())
        self.expected: dict[ExpectedName, FormField] = {}
        self.values: dict[tuple[str, str], FormField] = {}
        self._grid = QGridLayout()
        self.curves, self.permits = Words(role="value"), Words(role="value")
        self.model = DeviationsModel(self)
        self.table = RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("deviation.heading"))
        self.table.chosen.connect(self._settle)
        self._lay_out()

    def show_change(self, change: Change) -> None:
        """Fill the fields again."""
        self._fill()
        self.model.put(change.view.job)
        locked = text("plate.locked") if change.view.read_only_reason else ""
        for button in self.buttons.values():
            button.set_reason(locked)
        for field in self.form.fields:
            field.set_locked(bool(locked))

    def first_focus(self) -> None:
        """The source comes first: every figure wants one."""
        if self._window.place[0] != self._shown_core:
            self._fill()
        self.source.line.setFocus()

    def parts(self) -> list[Part]:
        """Fields, deviations, buttons."""
        return [
            Part(self.form, self.source.line.setFocus),
            Part(self.table, self.table.setFocus),
            Part(self._foot, self.buttons["curve"].setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    # Filling

    def _place(self) -> Place | None:
        view = self._window.session.view
        return place_of(view, self._window.place[0]) if view is not None else None

    def _fill(self) -> None:
        view, place = self._window.session.view, self._place()
        if view is None or place is None:
            self.heading.set_text(text("board.empty"))
            return
        if place.core.core_id != self._shown_core or self._taps() != {key[0] for key in self.values}:
            self._ask(place)
        self._shown_core = place.core.core_id
        self.heading.set_text(f"{ct_words(place.position, place.ct)}, {core_words(place.core)}")
        self._fill_expected(view, place)
        kind = self.kind.value()
        for (tap_id, quantity_id), field in self.values.items():
            found = next(
                (
                    one
                    for one in view.job.references.values
                    if (one.core_id, one.row, one.quantity_id, one.kind)
                    == (place.core.core_id, tap_id, quantity_id, kind)
                ),
                None,
            )
            unit = quantity(quantity_id).unit
            field.show_text(numbers.shown(found.value if found else None, unit, self._window.settings))
            field.note(found.source_text if found else "")
        own = [one for one in view.job.references.curves if one.core_id == place.core.core_id]
        self.curves.setText(
            "\n".join(
                text(
                    "compared.curve_line",
                    kind=dict(KINDS)[one.kind],
                    count=len(one.points),
                    source=one.source_text,
                )
                for one in own
            )
            or text("compared.no_curve")
        )
        self.permits.setText(
            "\n".join(
                ", ".join(
                    part
                    for part in (one.kind_text, one.number_text, one.issued_text, one.cancelled_text)
                    if part
                )
                for one in view.job.header.permits
            )
            or text("permit.none")
        )

    def _fill_expected(self, view: View, place: Place) -> None:
        unlike = {one.name for one in differences(view.job) if one.core_id == place.core.core_id}
        told = {one.name: one for one in view.job.references.expected if one.core_id == place.core.core_id}
        for name, field in self.expected.items():
            one = told.get(name)
            field.show_text(one.value_text if one else "")
            plate = plate_text(place.ct, place.core, name) or "–"
            said = "compared.unlike" if name in unlike else "compared.alike" if one else "compared.plate"
            field.note(text(said, plate=plate))

    def _taps(self) -> set[str]:
        place = self._place()
        return {tap.tap_id for tap in place.core.taps} if place is not None else set()

    def _ask(self, place: Place) -> None:
        """Make the fields of another core."""
        for field in [*self.expected.values(), *self.values.values()]:
            self.form.fields.remove(field)
            field.hide()
            field.deleteLater()
        self.expected = {name: self._adopt(text(f"expected.{name}")) for name in EXPECTED}
        for name, field in self.expected.items():
            field.kept.connect(lambda words, name=name, field=field: self._keep_expected(name, words, field))
        self.values = {
            (tap.tap_id, name): self._adopt(f"{quantity(name).heading}, {tap.terminals_text}")
            for tap in place.core.taps
            for name in COMPARED
        }
        for key, field in self.values.items():
            field.kept.connect(lambda words, key=key, field=field: self._keep_value(key, words, field))
        self._place_fields()

    def _adopt(self, caption: str) -> FormField:
        return self.form.adopt(FormField(caption))

    # Keeping

    def _keep_expected(self, name: ExpectedName, words: str, field: FormField) -> None:
        core_id, source = self._shown_core, self.source.value()
        self._window.session.do(
            lambda desk, job_id: desk.set_expected(
                job_id, core_id, name, value_text=words, source_text=source
            ),
            refused=field.say,
        )

    def _keep_value(self, key: tuple[str, str], words: str, field: FormField) -> None:
        core_id, source = self._shown_core, self.source.value()
        kind: Kind = "previous" if self.kind.value() == "previous" else "certificate"
        self._window.session.do(
            lambda desk, job_id: desk.set_reference_value(
                job_id, core_id, key[0], key[1], kind=kind, typed_text=words, source_text=source
            ),
            refused=field.say,
        )

    def _settle(self, row: int) -> None:
        deviation = self.model.line(row)
        if deviation is not None:
            DeviationDialog(self._window, deviation).open()

    def _paste_curve(self) -> None:
        place = self._place()
        if place is not None:
            CurveDialog(self._window, place.core, self.source.value()).open()

    def _add_permit(self) -> None:
        PermitDialog(self._window).open()

    def _next_core(self) -> None:
        """The fields of the next core, in the order of the sheet."""
        view = self._window.session.view
        cores = [place.core.core_id for place in places(view.job)] if view is not None else []
        if cores:
            here = cores.index(self._shown_core) if self._shown_core in cores else -1
            self._window.follow(cores[(here + 1) % len(cores)], self._window.place[1])
            self._fill()
            self.source.line.setFocus()

    # Parts

    def _lay_out(self) -> None:
        self._grid.setSpacing(8)
        self.form.adopt(self.source)
        self.form.adopt(self.kind)
        column = QVBoxLayout(self.form)
        column.setContentsMargins(16, 8, 16, 8)
        column.addWidget(self.heading)
        column.addLayout(self._grid)
        column.addWidget(self.curves)
        column.addStretch(1)
        self.form.finished.connect(self.table.setFocus)
        right = Panel("sheet", rules="left")
        beside = QVBoxLayout(right)
        beside.setContentsMargins(2, 10, 0, 8)
        beside.addWidget(self._head("deviation.heading"))
        beside.addWidget(self.table, 1)
        beside.addWidget(self._head("permit.list"))
        inner = QHBoxLayout()
        inner.setContentsMargins(14, 0, 14, 0)
        inner.addWidget(self.permits)
        beside.addLayout(inner)
        for number, name in enumerate(self.model.columns):
            self.table.setColumnWidth(number, _WIDTHS[name])
        self.table.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(Scroll(self.form), 50)
        middle.addWidget(right, 50)
        self._right = right
        self._foot = Foot(
            "compared.button",
            (
                ("permit", "Alt+P", self._add_permit),
                ("next", "Alt+N", self._next_core),
                ("curve", "Alt+V", self._paste_curve),
            ),
        )
        self.buttons = self._foot.buttons
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(middle, 1)
        whole.addWidget(self._foot)
        self._place_fields()

    def _head(self, text_id: str) -> QWidget:
        box = QWidget()
        row = QHBoxLayout(box)
        row.setContentsMargins(14, 0, 0, 0)
        row.addWidget(Line(text(text_id), role="heading", bold=True))
        return box

    def _place_fields(self) -> None:
        abreast = 3 if self.width() >= 1100 else 2
        top = Qt.AlignmentFlag.AlignTop
        self._grid.addWidget(self.source, 0, 0, 1, abreast - 1, top)
        self._grid.addWidget(self.kind, 0, abreast - 1, top)
        for place, field in enumerate([*self.expected.values(), *self.values.values()]):
            self._grid.addWidget(field, 1 + place // abreast, place % abreast, top)
            field.show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the fields alone; deviations come on wider ones."""
        super().resizeEvent(event)
        self._right.setVisible(self.width() >= 900)
        self._place_fields()
