"""What the page shows of one take of one test on one core, gathered from the view without any Qt."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from app import words as spoken
from app.desk.view import View
from app.ui.worksheet import reading_text
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.fieldline import Column, FieldLine, headed, instrument_words, reasons_of
from app.words import figures
from ctcore.findings import Finding, Verdict, worst
from ctcore.job import METHOD_ROW, Core, Place, Reading, places
from ctcore.judgement.plate import same_tap, tap_fed
from ctcore.procedure import FieldSpec, Procedure, Scene
from ctcore.quantities import Quantity
from ctcore.takes import Cell, Row, Take


@dataclass(frozen=True, slots=True)
class RowLine:
    """One row of the table, settled or still empty: a text per column, and its typed fields."""

    row: str
    words: str
    texts: tuple[str, ...]
    fields: tuple[FieldLine, ...]
    struck: bool
    reason: str
    verdict: Verdict | None

    @property
    def entered(self) -> bool:
        """Whether anything stands in the row."""
        return any(field.state != "empty" for field in self.fields)


@dataclass(frozen=True, slots=True)
class Sister:
    """The same core of another phase, with the take that is compared with."""

    phase_text: str
    core: Core
    scene: Scene
    take: Take | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The page's content: method fields, columns, rows and findings of one take."""

    view: View
    place: Place
    procedure: Procedure
    scene: Scene
    take_number: int
    take_numbers: tuple[int, ...]
    take: Take
    sisters: tuple[Sister, ...]
    method: tuple[FieldLine, ...]
    columns: tuple[Column, ...]
    rows: tuple[RowLine, ...]
    findings: tuple[Finding, ...]

    @property
    def core(self) -> Core:
        """The core on the page."""
        return self.place.core


Why = Callable[[Reading], str | None]


def sheet(
    view: View,
    core_id: str,
    procedure_id: str,
    *,
    take_number: int | None = None,
    why: Why,
    curves: CurveStore,
    before: Sheet | None = None,
) -> Sheet:
    """The content of the page of a core's test; the last take unless another is named.

    Rows of `before`, the content made last, are taken over where nothing that they show has changed.
    """
    place = next(entry for entry in places(view.job) if entry.core.core_id == core_id)
    procedure = spoken.procedure(procedure_id)
    scene = Scene(view.job, place.position, place.ct, place.core, view.takes)
    takes = view.takes.get((core_id, procedure_id), ())
    number = take_number or (takes[-1].take if takes else 1)
    take = next(
        (entry for entry in takes if entry.take == number), _empty_take(core_id, procedure_id, number)
    )
    sisters = tuple(_sisters(view, scene, procedure, take))
    findings = tuple(f for f in view.findings.get(core_id, ()) if f.procedure == procedure_id)
    made = _Maker(view, scene, procedure, take, sisters, findings, why, curves, before)
    columns = made.columns()
    return Sheet(
        view=view, place=place, procedure=procedure, scene=scene, take_number=number,
        take_numbers=tuple(entry.take for entry in takes) or (number,), take=take, sisters=sisters,
        method=made.method(), columns=columns, rows=tuple(made.rows(columns)), findings=findings,
    )  # fmt: skip


def _empty_take(core_id: str, procedure_id: str, number: int) -> Take:
    return Take(core_id, procedure_id, number, Row(METHOD_ROW, {}))


def _sisters(view: View, scene: Scene, procedure: Procedure, take: Take) -> Iterator[Sister]:
    for ct, core in scene.sisters():
        takes = view.takes.get((core.core_id, procedure.procedure_id), ())
        alike = [t for t in takes if _is_alike(procedure, scene, take, core, t)]
        # A curve at other terminals is no curve to compare with; until terminals are keyed any will do.
        other = procedure.curve == "excitation" and tap_fed(scene.core, take) is not None
        chosen = alike[-1] if alike else (takes[-1] if takes and not other else None)
        its = Scene(view.job, scene.position, ct, core, view.takes)
        yield Sister(ct.phase_text, core, its, chosen)


def _is_alike(procedure: Procedure, scene: Scene, take: Take, core: Core, other: Take) -> bool:
    """Whether a take of a sister core is of the same subject; a curve is of the same terminals."""
    if procedure.curve != "excitation":
        return _subject(procedure, other) == _subject(procedure, take)
    own, fed = tap_fed(scene.core, take), tap_fed(core, other)
    return fed is None if own is None else fed is not None and fed is same_tap(core, own)


def row_on(core: Core, own: Core, row: str) -> str:
    """The row of a sister core that stands for a row of this one: its tap of the same terminals."""
    tap = own.tap(row)
    if tap is None:
        return row
    alike = same_tap(core, tap)
    return "" if alike is None else alike.tap_id


def _subject(procedure: Procedure, take: Take) -> str:
    return procedure.per_subject(take) if procedure.per_subject else ""


def asked(specs: Sequence[FieldSpec], take: Take) -> list[FieldSpec]:
    """Those fields that the method in force asks for."""
    return [
        spec
        for spec in specs
        if spec.shown_when is None or take.method.cell(spec.shown_when[0]).value_text in spec.shown_when[1]
    ]


@dataclass(slots=True)
class _Maker:
    view: View
    scene: Scene
    procedure: Procedure
    take: Take
    sisters: tuple[Sister, ...]
    findings: tuple[Finding, ...]
    why: Why
    curves: CurveStore
    before: Sheet | None = None
    _currents: dict[str, dict[str, float]] = field(default_factory=dict)

    def method(self) -> tuple[FieldLine, ...]:
        return tuple(self._method_field(spec) for spec in asked(self.procedure.method, self.take))

    def _method_field(self, spec: FieldSpec) -> FieldLine:
        line = self._field(spec, self.take.method.cell(spec.quantity_id))
        if line.state not in ("empty", "must"):
            return line
        offered = self._of_sister(spec.quantity_id)
        if offered is None:
            return line
        shown = reading_text.shown(Cell((offered,), (offered,)), line.quantity, line.choices)
        return FieldLine(line.quantity, line.choices, "repeated", shown, offered.as_typed_text)

    def _of_sister(self, quantity_id: str) -> Reading | None:
        """What a sister phase answered to the same question; the tap fed is not offered."""
        if quantity_id == "tap_id":
            return None
        for sister in self.sisters:
            if sister.take is not None:
                found = sister.take.method.cell(quantity_id).current
                if found is not None and found.value_text is not None:
                    return found
        return None

    def _field(self, spec: FieldSpec, cell: Cell) -> FieldLine:
        quantity = spoken.quantity(spec.quantity_id)
        choices = reading_text.choices_of(quantity, self.scene.core)
        shown = reading_text.shown(cell, quantity, choices)
        reading = cell.current
        if reading is None:
            if cell.disputed:
                return FieldLine(quantity, choices, "doubt", shown, shown, spoken.text("field.two_stand"))
            if not cell.empty:
                struck = cell.standing[-1]
                return FieldLine(quantity, choices, "struck", self._struck_text(cell), "", struck.reason_text)
            return FieldLine(quantity, choices, "must" if spec.required else "empty", "", "")
        typed = shown if quantity.kind == "choice" else reading.as_typed_text
        if quantity.quantity_id == "tap_id":
            typed = shown
        if reading.value_text is None:
            return FieldLine(quantity, choices, "no number", shown, typed, self.why(reading) or "")
        return FieldLine(quantity, choices, "kept", shown, typed)

    def _struck_text(self, cell: Cell) -> str:
        typed = [entry.as_typed_text for entry in cell.readings if entry.as_typed_text]
        return typed[-1] if typed else ""

    def columns(self) -> tuple[Column, ...]:
        typed = [
            replace(self._column("typed", spec.quantity_id), reader=self._reader(spec.quantity_id))
            for spec in asked(self.procedure.columns, self.take)
        ]
        points = self.procedure.row_kind == "points"
        first = Column("row", spoken.text("rows.head.row") if points else self.procedure.rows_heading)
        if self.procedure.row_kind == "points":
            unit = typed[-1].quantity.unit if typed and typed[-1].quantity else ""
            sisters = [
                Column("sister", headed(s.phase_text, unit), typed[-1].quantity, index)
                for index, s in enumerate(self.sisters)
            ]
            phases = ", ".join(s.phase_text for s in self.sisters)
            against = [Column("against", spoken.text("rows.head.to", phases=phases))] if sisters else []
            return (first, *typed, *sisters, *against)
        derived = [self._column("derived", entry) for entry in self._derived_by_row()]
        compared = self._compared()
        sisters = [
            Column("sister", headed(s.phase_text, compared.unit), compared, index)
            for index, s in enumerate(self.sisters)
            if compared is not None
        ]
        verdict = Column("verdict", spoken.text("rows.head.verdict"))
        return (first, *typed, *self._before(), *derived, *sisters, verdict)

    def _reader(self, quantity_id: str) -> str:
        """The instrument that read this column last, here or on a sister phase."""
        if not self.view.job.instruments:
            return ""
        takes = [self.take, *(sister.take for sister in self.sisters if sister.take is not None)]
        for take in takes:
            for row in reversed(take.rows):
                reading = row.cell(quantity_id).current
                if reading is not None and reading.instrument_id:
                    return instrument_words(self.view.job, reading.instrument_id)
        return ""

    def _earlier(self) -> Take | None:
        """The take before this one of the same subject, which stays beside a retest."""
        takes = self.view.takes.get((self.scene.core.core_id, self.procedure.procedure_id), ())
        subject = _subject(self.procedure, self.take)
        found = [t for t in takes if t.take < self.take.take and _subject(self.procedure, t) == subject]
        return found[-1] if found else None

    def _before(self) -> list[Column]:
        """The reading of the take before, beside the one that takes its place."""
        earlier, required = self._earlier(), [s for s in self.procedure.columns if s.required]
        if earlier is None or not required:
            return []
        quantity = spoken.quantity(required[-1].quantity_id)
        heading = spoken.text("rows.head.take", take=earlier.take)
        return [Column("before", headed(heading, quantity.unit), quantity)]

    def _column(self, kind: Literal["typed", "derived"], quantity_id: str) -> Column:
        quantity = spoken.quantity(quantity_id)
        return Column(kind, headed(quantity.heading, quantity.unit), quantity)

    def _derived_by_row(self) -> list[str]:
        numbers = [entry for entry in self.procedure.derived if spoken.quantity(entry).kind == "number"]
        here = {entry.quantity_id for entry in self._derived(self.scene.core.core_id, self.take)}
        return [entry for entry in numbers if entry in here] or numbers[:1]

    def _derived(self, core_id: str, take: Take | None) -> Sequence:
        if take is None:
            return ()
        return self.view.derived.get((core_id, self.procedure.procedure_id, take.take), ())

    def _compared(self) -> Quantity | None:
        """What sister phases are compared by: the derived figure judged by row, else the last; no spread."""
        shown = [entry for entry in self._derived_by_row() if "spread" not in entry]
        judged = {finding.quantity for finding in self.findings if finding.row}
        among = [entry for entry in shown if entry in judged] or shown
        chosen = among[-1] if among else None
        return spoken.quantity(chosen) if chosen else None

    def rows(self, columns: tuple[Column, ...]) -> Iterator[RowLine]:
        kept, old = {row.row: row for row in self.take.rows}, self._old_rows(columns)
        verdicts = self._verdicts()
        for row, words in self._row_names():
            found, verdict = kept.get(row, Row(row, {})), verdicts.get(row)
            line = old.get(row)
            if line is not None and line[0] == found and line[1].verdict == verdict:
                yield line[1]
            else:
                yield self._row_line(found, words, columns, verdict)

    def _verdicts(self) -> dict[str, Verdict]:
        found: dict[str, list[Verdict]] = {}
        for finding in self.findings:
            if finding.row and finding.take in (0, self.take.take):
                found.setdefault(finding.row, []).append(finding.verdict)
        return {row: worst(verdicts) for row, verdicts in found.items()}

    def _old_rows(self, columns: tuple[Column, ...]) -> dict[str, tuple[Row, RowLine]]:
        """Rows made last, with what they were made from; of points only, whose rows stand each for itself."""
        old = self.before
        if (
            old is None
            or self.procedure.row_kind != "points"
            or (old.core, old.procedure, old.take_number, old.columns)
            != (self.scene.core, self.procedure, self.take.take, columns)
            or any(one.take is not other.take for one, other in zip(old.sisters, self.sisters, strict=True))
            or old.view.job.instruments is not self.view.job.instruments
            or old.view.job.frequency_rated_hz != self.view.job.frequency_rated_hz
        ):
            return {}
        made_from = {row.row: row for row in old.take.rows}
        return {line.row: (made_from.get(line.row, Row(line.row, {})), line) for line in old.rows}

    def _row_names(self) -> list[tuple[str, str]]:
        kept = [row.row for row in self.take.rows]
        if self.procedure.row_kind != "points":
            return [(entry.row, entry.words) for entry in self.procedure.rows_of(self.scene.core)]
        numbers = sorted(int(row) for row in kept if row.isdigit())
        next_row = numbers[-1] + 1 if numbers else 1
        return [(str(number), str(number)) for number in (*numbers, next_row)]

    def _row_line(
        self, kept: Row, words: str, columns: tuple[Column, ...], verdict: Verdict | None
    ) -> RowLine:
        fields = tuple(
            self._field(FieldSpec(quantity_id=spec.quantity_id), kept.cell(spec.quantity_id))
            for spec in asked(self.procedure.columns, self.take)
        )
        reasons = reasons_of(fields, kept.struck)
        texts = tuple(self._text(column, kept, words, fields, verdict) for column in columns)
        return RowLine(kept.row, words, texts, fields, kept.struck, "  ".join(reasons), verdict)

    def _text(
        self, column: Column, row: Row, words: str, fields: tuple[FieldLine, ...], verdict: Verdict | None
    ) -> str:
        if column.kind == "row":
            return words
        if column.kind == "verdict":
            return verdict or ""
        if column.kind == "against":
            return self._against(row)
        assert column.quantity is not None
        if column.kind == "typed":
            return next(f.shown for f in fields if f.quantity.quantity_id == column.quantity.quantity_id)
        if column.kind == "before":
            earlier = self._earlier()
            assert earlier is not None
            cell = earlier.row(row.row).cell(column.quantity.quantity_id)
            return reading_text.shown(cell, column.quantity, column.quantity.choices)
        if column.kind == "derived":
            return self._derived_text(self.scene.core.core_id, self.take, row.row, column.quantity)
        sister = self.sisters[column.sister_index]
        if self.procedure.row_kind == "points":
            return self._current_text(sister, row, column.quantity)
        its = row_on(sister.core, self.scene.core, row.row)
        return self._derived_text(sister.core.core_id, sister.take, its, column.quantity)

    def _derived_text(self, core_id: str, take: Take | None, row: str, quantity: Quantity) -> str:
        found = [
            entry.value
            for entry in self._derived(core_id, take)
            if entry.row == row and entry.quantity_id == quantity.quantity_id
        ]
        if not found or found[0] is None:
            return ""
        if isinstance(found[0], str):
            return found[0]
        shown = figures.signed if quantity.signed else figures.text
        if quantity.decimals is not None:
            return shown(found[0], quantity.unit, decimals=quantity.decimals)
        return shown(found[0], quantity.unit, significant=4)

    def _sister_current_a(self, sister: Sister, row: Row) -> float | None:
        if row.cell("i_excitation_a").number is None:
            return None
        core_id = sister.core.core_id
        if core_id not in self._currents:
            self._currents[core_id] = self._currents_of(sister)
        return self._currents[core_id].get(row.row)

    def _currents_of(self, sister: Sister) -> dict[str, float]:
        """The sister's current at the volts of every row that lies within her readings."""
        curve = None if sister.take is None else self.curves.view(sister.scene, sister.take).curve
        if curve is None:
            return {}
        low, high = curve.voltage_first_v, curve.voltage_last_v
        volts = [
            (row.row, v) for row in self.take.rows if (v := row.cell("v_excitation_v").number) is not None
        ]
        within = [(name, v) for name, v in volts if low <= v <= high]
        found = curve.current_a(np.array([v for _, v in within])) if within else np.array([])
        return {name: float(i) for (name, _), i in zip(within, found, strict=True)}

    def _current_text(self, sister: Sister, row: Row, quantity: Quantity) -> str:
        current_a = self._sister_current_a(sister, row)
        if current_a is None:
            asked_for = sister.take is not None and row.cell("i_excitation_a").number is not None
            return figures.NOTHING if asked_for else ""
        return figures.text(current_a, quantity.unit, significant=3)

    def _against(self, row: Row) -> str:
        mine = row.cell("i_excitation_a").number
        theirs = [found for s in self.sisters if (found := self._sister_current_a(s, row)) is not None]
        if mine is None or not theirs:
            return ""
        mean = sum(theirs) / len(theirs)
        return figures.signed(100.0 * (mine / mean - 1.0), "percent", decimals=0) + figures.UNIT_GAP + "%"
