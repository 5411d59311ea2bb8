"""The title block of the job in full, and what the job is judged by. Each field is kept as it is left."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from app.desk import Change, Desk, View
from app.settings import ROWS
from app.ui.dialogs.new_job import PHASE_NAMES, phases_of
from app.ui.models.setting_words import answers_of
from app.ui.shell import numbers
from app.ui.shell.fields import FormBox, FormField
from app.ui.shell.lettering import Line
from app.ui.shell.part import Part
from app.ui.shell.scroll import Scroll
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

_CHOICES: Final = {row.name: row.choices for row in ROWS}
CORRECTIONS: Final = (
    ("halving_per_10k", "halving per 10 K"), ("oil", "table for oil-filled"), ("solid", "table for solid"),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One field: which part of the job it belongs to, its unit or its answers."""

    part: str
    name: str
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    must_be_stated: bool = False


ASKS: Final = (
    Ask(part="header", name="number_text", must_be_stated=True),
    Ask(part="header", name="title_text"),
    Ask(part="header", name="site_text"),
    Ask(part="header", name="customer_text"),
    Ask(part="header", name="work_order_text"),
    Ask(part="header", name="work_type_text"),
    Ask(part="header", name="drawings_text"),
    Ask(part="header", name="relay_settings_text"),
    Ask(part="header", name="permits_text"),
    Ask(part="header", name="outage_ends_text"),
    Ask(part="header", name="earlier_sheet_text"),
    Ask(part="header", name="supply_text"),
    Ask(part="header", name="weather_text"),
    Ask(part="header", name="ambient_degc", unit="degC"),
    Ask(part="header", name="humidity_percent", unit="percent"),
    Ask(part="job", name="frequency_rated_hz", unit="Hz", must_be_stated=True),
    Ask(part="job", name="phase_names", must_be_stated=True),
    Ask(part="header", name="organisation_text"),
    Ask(part="header", name="organisation_address_text"),
    Ask(part="header", name="organisation_mark_text"),
    Ask(part="header", name="paper", choices=_CHOICES["paper"]),
    Ask(part="header", name="sheet_language", choices=_CHOICES["sheet_language"]),
    Ask(part="header", name="sheet_decimal_mark", choices=_CHOICES["decimal_mark"][:2]),
    Ask(part="references", name="decision_rule", choices=_CHOICES["decision_rule"]),
    Ask(part="references", name="voltage_ceiling_v", unit="V"),
    Ask(part="references", name="insulation_limit_set", choices=_CHOICES["insulation_limit_set"]),
    Ask(part="references", name="client_insulation_limit_ohm", unit="Mohm"),
    Ask(part="references", name="insulation_correction", choices=CORRECTIONS),
)
_WIDE: Final = (
    "site_text", "customer_text", "drawings_text", "supply_text", "weather_text", "organisation_text",
    "organisation_address_text", "insulation_limit_set",
)  # fmt: skip
_SPANS: Final = {"title_text": 3, **dict.fromkeys(_WIDE, 2)}


class TitlePage(QWidget):
    """Four columns of fields; Enter goes through them line by line."""

    page_id = "title"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.form = FormBox()
        self.fields: dict[str, FormField] = {}
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(8)
        column = QVBoxLayout(self.form)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(10)
        column.addWidget(Line(text("header.heading"), role="heading", bold=True))
        column.addLayout(self._grid)
        column.addStretch(1)
        for ask in ASKS:
            self.fields[ask.name] = self._field(ask)
        self.form.finished.connect(lambda: self.fields["number_text"].line.setFocus())
        self._columns = 0
        self._place(4)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(Scroll(self.form))

    def show_change(self, change: Change) -> None:
        """Fill the fields again; one that is being typed in stays."""
        view = change.view
        for ask in ASKS:
            field = self.fields[ask.name]
            field.show_text(self._shown(ask, view))
            field.set_locked(view.read_only_reason is not None)

    def first_focus(self) -> None:
        """The number of the job."""
        self.fields["number_text"].line.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """One part only."""
        return [Part(self.form, self.first_focus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _field(self, ask: Ask) -> FormField:
        field = FormField(
            text(f"header.{ask.name}"),
            choices=answers_of(ask.name, ask.choices),
            must_be_stated=ask.must_be_stated,
            help_text=text(f"help.field.{ask.name}"),
        )
        if ask.name == "phase_names":
            field.note(text("header.phases_help"))
        self.form.adopt(field)
        field.kept.connect(lambda words: self._keep(ask, field, words))
        return field

    def _shown(self, ask: Ask, view: View) -> str:
        job = view.job
        part: Any = {"header": job.header, "references": job.references, "job": job}[ask.part]
        value = getattr(part, ask.name)
        if ask.name == "phase_names":
            return " ".join(value)
        return numbers.shown(value, ask.unit, self._window.settings) if ask.unit else str(value)

    def _keep(self, ask: Ask, field: FormField, words: str) -> None:
        value: Any = words
        reason = ""
        if ask.unit:
            value, reason = numbers.read(words, ask.unit, self._window.settings)
            if not reason and value is None and ask.must_be_stated:
                reason = text("field.not_stated_reason")
        elif ask.name == "phase_names":
            value = phases_of(words)
            reason = self._why_no_phases(value)
        field.say(reason)
        if not reason:
            self._window.session.do(_verb(ask, value), refused=field.say)

    def _why_no_phases(self, names: tuple[str, ...]) -> str:
        view = self._window.session.view
        wanted = len(view.job.phase_names) if view is not None else 3
        if len(names) != wanted or len(set(names)) != len(names):
            return text("header.phases_wrong", count=wanted, example=PHASE_NAMES[0])
        return ""

    def _place(self, columns: int) -> None:
        if columns == self._columns:
            return
        self._columns = columns
        row = column = 0
        for ask in ASKS:
            span = min(_SPANS.get(ask.name, 1), columns)
            if column + span > columns:
                row, column = row + 1, 0
            self._grid.addWidget(self.fields[ask.name], row, column, 1, span, Qt.AlignmentFlag.AlignTop)
            column += span
        for place in range(4):
            self._grid.setColumnStretch(place, 1 if place < columns else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fewer columns on a narrow screen."""
        super().resizeEvent(event)
        self._place(4 if self.width() >= 1000 else 2)


def _verb(ask: Ask, value: Any) -> Callable[[Desk, str], Change]:
    """The verb that puts one value into the job as it stands when the verb runs."""

    def run(desk: Desk, job_id: str) -> Change:
        job = desk.view(job_id).job
        if ask.part == "references":
            return desk.set_references(job_id, dataclasses.replace(job.references, **{ask.name: value}))
        if ask.name == "frequency_rated_hz":
            return desk.set_header(job_id, job.header, frequency_rated_hz=value)
        if ask.name == "phase_names":
            return desk.set_header(job_id, job.header, phase_names=value)
        return desk.set_header(job_id, dataclasses.replace(job.header, **{ask.name: value}))

    return run
