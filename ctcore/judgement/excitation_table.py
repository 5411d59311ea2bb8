"""The whole table of a class calculated from the curve: never a substitute for the direct test."""

from __future__ import annotations

import cmath
import math
from collections import Counter
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ctcore import figures
from ctcore.classtable import NOTE, Cell, Range, Winding, class_table
from ctcore.curve import Curve
from ctcore.errors import BadInput
from ctcore.findings import Finding, Standing, Verdict
from ctcore.job import Tap
from ctcore.judgement.cells import Trouble, choice, value_of
from ctcore.judgement.excitation_check import Check, gap_words, wide_gap
from ctcore.judgement.excitation_curve import CurveView
from ctcore.judgement.excitation_iec import LOW_LEAKAGE
from ctcore.judgement.excitation_targets import winding_at
from ctcore.judgement.limit import standing_of
from ctcore.judgement.plate import row_of
from ctcore.judgement.spot import told
from ctcore.nameplate import AccuracyClass
from ctcore.procedure import Derived, Scene
from ctcore.standards.proof import CHECK
from ctcore.standards.rows import FROM_MEMORY, MeasuringRow, MeteringRow, ProtectionRow
from ctcore.takes import Take

QUANTITY = "errors_calculated_text"
RULE = "excitation.table_calculated"
_TEMPERATURE_TEXT = "winding at 75 °C"
# Practice: far below the knee three readings to a decade tell the curve; common practice, no source.
_FAR_RATIO = 3.0


@dataclass(frozen=True, slots=True)
class Table:
    """The calculated table of one class: its cells, and what they rest on in words."""

    accuracy: AccuracyClass
    cells: tuple[Cell, ...]
    turns_text: str
    turns_known: bool
    angle_known: bool


@dataclass(frozen=True, slots=True)
class _Angles:
    """By how much the exciting current lags the voltage, in degrees, over ln V."""

    ln_voltage: tuple[float, ...]
    lag_deg: tuple[float, ...]


def has_table(accuracy: AccuracyClass) -> bool:
    """Whether a class limits errors by current and burden."""
    row = row_of(accuracy)
    if isinstance(row, ProtectionRow):
        return row.composite_error_percent is not None
    return isinstance(row, MeasuringRow | MeteringRow)


def table_of(scene: Scene, take: Take, tap: Tap, view: CurveView, accuracy: AccuracyClass) -> Table | Trouble:
    """The calculated table of one class on the tap fed, or why there is none."""
    winding = winding_at(scene, tap)
    if isinstance(winding, Trouble):
        return winding
    if view.curve is None:
        return Trouble("not tested", view.reason)
    turns, turns_text, known = _turns(scene, tap)
    angles = _angles(take, view)
    own = Winding(tap.k_rated_ratio, turns, tap.i_secondary_rated_a, winding.r_75degc_ohm or 0.0)
    try:
        cells = _cells(accuracy, own, view.curve, angles, scene.job.frequency_rated_hz)
    except BadInput as refusal:
        return Trouble("refer", f"No table: {refusal.quantity}, {refusal.reason}.")
    return Table(accuracy, cells, turns_text, known, angles is not None)


@lru_cache(maxsize=256)
def _cells(
    accuracy: AccuracyClass, winding: Winding, curve: Curve, angles: _Angles | None, f_hz: float
) -> tuple[Cell, ...]:
    def size_a(emf_v: float) -> complex:
        return curve.current_a(emf_v)

    def phasor_a(emf_v: float) -> complex:
        assert angles is not None
        lag = float(np.interp(math.log(emf_v), angles.ln_voltage, angles.lag_deg))
        return cmath.rect(curve.current_a(emf_v), -math.radians(lag))

    known = angles is not None
    return class_table(accuracy, winding, phasor_a if known else size_a, angle_known=known, f_hz=f_hz)


def _angles(take: Take, view: CurveView) -> _Angles | None:
    """The angles of all points of the curve; None where one of them was not read."""
    pairs = [
        (math.log(point.voltage_v), value_of(take.row(point.row), "phase_excitation_deg"))
        for point in view.kept
    ]
    lags = tuple(lag for _, lag in pairs if lag is not None)
    if len(lags) < len(pairs):
        return None
    return _Angles(tuple(ln_v for ln_v, _ in pairs), lags)


def _turns(scene: Scene, tap: Tap) -> tuple[float, str, bool]:
    """Turns ratio: as found by voltage, else by the plate, else taken as rated and not known."""
    found = _turns_by_voltage(scene, tap)
    if found is not None:
        return found, "turns ratio as found by voltage", True
    if tap.turns_secondary_count is not None:
        return tap.ns_over_np_ratio, "turns as on the plate", True
    return tap.k_rated_ratio, "turns taken as rated", False


def _turns_by_voltage(scene: Scene, tap: Tap) -> float | None:
    for take in reversed(scene.takes.get((scene.core.core_id, "ratio"), ())):
        if choice(take.method, "ratio_method") == "voltage":
            row = take.row(tap.tap_id)
            volts, primary = value_of(row, "v_secondary_v"), value_of(row, "v_primary_v")
            if volts and primary and volts > 0.0 and primary > 0.0:
                return volts / primary
    return None


def _direct_test(scene: Scene, tap: Tap) -> bool:
    """Whether errors of this tap were read at current and burden as well."""
    return any(
        value_of(take.row(tap.tap_id), quantity_id) is not None
        for take in scene.takes.get((scene.core.core_id, "ratio"), ())
        for quantity_id in ("ratio_error_read_percent", "i_secondary_a")
    )


def derived_cells(table: Table) -> list[Derived]:
    """One line for each cell that the curve reaches: the errors furthest from zero."""
    return [
        Derived(f"{cell.percent_current:g} % {cell.burden_text}", QUANTITY, cell_text(cell))
        for cell in table.cells
        if cell.ratio_error_percent is not None
    ]


def cell_text(cell: Cell) -> str:
    """The errors of a cell as a class table prints them, furthest from zero, IEEE as RCF and TCF.

    >>> from ctcore.classtable import Cell, Range
    >>> cell_text(Cell(100.0, "10 VA", 12.0, Range(-0.4, -0.1), Range(-12.0, 12.0), None, None, 0.5, 30.0,
    ...     None, "within", "", "", ""))
    '−0.40 %, ±12′'
    """
    if cell.rcf is not None and cell.factor is not None:
        rcf, factor = (_furthest(spread, 1.0) for spread in (cell.rcf, cell.factor))
        return f"RCF {figures.text(rcf, '1', decimals=4)}, TCF {figures.text(factor, '1', decimals=4)}"
    if cell.ratio_error_percent is None or cell.phase_displacement_arcmin is None:
        return figures.NOTHING
    error = figures.signed(_furthest(cell.ratio_error_percent, 0.0), "percent", decimals=2)
    phase = cell.phase_displacement_arcmin
    turned = figures.signed(_furthest(phase, 0.0), "arcmin", significant=2)
    if phase.low == -phase.high:
        turned = f"±{figures.text(phase.high, 'arcmin', significant=2)}"
    return f"{error} %, {turned}′"


def _furthest(spread: Range, centre: float) -> float:
    return max((spread.low, spread.high), key=lambda value: abs(value - centre))


def judge_table(check: Check) -> list[Finding]:
    """One finding for the whole table of the class."""
    scene, spot = check.spot.scene, check.spot
    table = table_of(scene, spot.take, check.tap, check.view, check.accuracy)
    if isinstance(table, Trouble):
        return [told(spot, QUANTITY, table.verdict, table.text, rule=RULE)]
    verdict = _verdict(check, table)
    first = table.cells[0]
    memory = any(cell.tag == FROM_MEMORY for cell in table.cells)
    standing: Standing = "from memory" if memory else standing_of(first.tag)
    source = f"{first.source}, {NOTE}"
    return [
        told(
            spot,
            QUANTITY,
            verdict,
            _words(check, table),
            rule=RULE,
            value=_count_text(table),
            source=source,
            standing=standing,
        )
    ]


def _verdict(check: Check, table: Table) -> Verdict:
    """Outside where a cell is; within only where every cell is reached and within beside a direct test."""
    verdicts = Counter(cell.verdict for cell in table.cells)
    if verdicts["outside"]:
        return "refer" if check.indicative or not table.turns_known else "outside"
    if verdicts["not tested"] == len(table.cells):
        return "not applicable"
    decided = not verdicts["refer"] and not verdicts["not tested"] and not _reasons(check, table)
    if _direct_test(check.spot.scene, check.tap):
        return "within" if decided else "not applicable"
    return "refer"


def _reasons(check: Check, table: Table) -> list[str]:
    """What keeps a table without a cell outside from being called within."""
    scene = check.spot.scene
    found = []
    if not table.turns_known:
        found.append("The turns are not known: the ratio errors lack the turns ratio error.")
    if scene.job.references.decision_rule != "simple":
        found.append("The decision rule of the job asks for the uncertainty of every cell.")
    if isinstance(row_of(check.accuracy), ProtectionRow) and not scene.core.low_leakage:
        found.append(LOW_LEAKAGE)
    winding = winding_at(scene, check.tap)
    found += [] if isinstance(winding, Trouble) else winding.doubts
    gaps = (wide_gap(check.view, cell.emf_v, ratio=_FAR_RATIO) for cell in table.cells)
    found += [gap_words(gap) for gap in gaps if gap is not None]
    return [*found, *check.doubts, *check.indicative]


def _count_text(table: Table) -> str:
    within = sum(cell.verdict == "within" for cell in table.cells)
    reached = sum(cell.verdict != "not tested" for cell in table.cells)
    return f"{within} of {reached} within" if reached else "none reached"


def _words(check: Check, table: Table) -> str:
    """What was calculated, from what, and the cells that are not within."""
    verdicts = Counter(cell.verdict for cell in table.cells)
    angle = "with the angle read" if table.angle_known else "bounds without the angle"
    beyond = verdicts["not tested"]
    parts = [
        f"Class {check.accuracy.designation}, {NOTE}: {_count_text(table)}; {table.turns_text}, "
        f"{_TEMPERATURE_TEXT}, {angle}."
    ]
    if beyond:
        parts.append(f"{beyond} of {len(table.cells)} e.m.f.s lie beyond the readings.")
    for verdict, word in (("outside", "Outside"), ("refer", "Not decided")):
        places = [
            f"{cell.percent_current:g} % {cell.burden_text} ({cell_text(cell)})"
            for cell in table.cells
            if cell.verdict == verdict
        ]
        if places:
            parts.append(f"{word}: {'; '.join(places)}.")
    direct = _direct_test(check.spot.scene, check.tap)
    parts.append("The direct test decides." if direct else "No direct test stands beside it.")
    if any(cell.tag == FROM_MEMORY for cell in table.cells):
        parts.append(f"Limits from memory: {CHECK}.")
    return " ".join([*parts, *dict.fromkeys(_reasons(check, table))])
