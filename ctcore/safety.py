"""The figures of a caution: volts on the whole winding, on the primary and left open, ceiling, discharge."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ctcore import figures, insulation, taps
from ctcore.checks import positive_scalar
from ctcore.curve import Knee, stored_energy_j
from ctcore.job import Core, Tap
from ctcore.judgement.cells import Trouble, value_of
from ctcore.judgement.excitation_curve import measured
from ctcore.judgement.excitation_targets import ceiling_on_tap_v, voltage_wanted_v
from ctcore.judgement.insulation_time import SECONDS
from ctcore.judgement.plate import classes_of, plate_trouble, tap_fed
from ctcore.procedure import Scene
from ctcore.takes import Row, Take

NOT_KNOWN = "not known yet"
_VOLTS = (
    "v_applied_v", "v_full_v", "v_primary_v", "v_highest_v", "v_ceiling_v", "v_full_highest_v",
    "v_primary_highest_v",
)  # fmt: skip
_FED = {"excitation": "v_excitation_v", "ratio": "v_secondary_v", "insulation": "v_test_v",
        "insulation_time": "v_test_v"}  # fmt: skip

_INSULATION = ("insulation", "insulation_time")


@dataclass(frozen=True, slots=True)
class SafetyFigures:
    """What a caution can say in figures; None where it is not known.

    `v_applied_v` are the highest volts applied so far, `v_full_v` the volts that they put across all turns,
    `v_primary_v` those on the primary. `v_highest_v` is the suggested highest excitation voltage at the
    terminals fed, `v_ceiling_v` the ceiling of the job across all turns, `w_stored_j` the energy that the
    direct current of a resistance test leaves in the core. `v_full_highest_v` and `v_primary_highest_v` are
    what `v_highest_v` puts across all turns and on the primary, before anything is fed; `v_open_least_v` is
    the least peak of the whole winding left open under primary current. `over_ceiling` blocks nothing: it
    asks for an acknowledgement.
    """

    terminals_text: str | None = None
    v_applied_v: float | None = None
    v_full_v: float | None = None
    v_primary_v: float | None = None
    v_highest_v: float | None = None
    v_ceiling_v: float | None = None
    discharge_s: float | None = None
    w_stored_j: float | None = None
    v_full_highest_v: float | None = None
    v_primary_highest_v: float | None = None
    v_open_least_v: float | None = None
    over_ceiling: bool = False


def full_winding_v(core: Core, tap: Tap, v_applied_v: float) -> float:
    """Return the voltage across the whole winding when a tap is fed.

    Formula: V N_full / N_tap.
    Args: core and tap with turns or rated currents above zero; volts on the tap, above zero.
    Result: V.
    Valid below saturation.
    Raises BadInput for a voltage of zero or less.
    Source: arithmetic; 100 V on 20 of 240 turns is 1200 V.

    >>> part = Tap(tap_id="a", terminals_text="X1-X2", i_primary_rated_a=100, i_secondary_rated_a=5)
    >>> whole = Tap(tap_id="b", terminals_text="X1-X5", i_primary_rated_a=1200, i_secondary_rated_a=5)
    >>> full_winding_v(Core(core_id="c", number=1, class_text="C400", taps=(part, whole)), part, 100.0)
    1200.0
    """
    return taps.full_winding_voltage_v(v_applied_v, tap.ns_over_np_ratio, core.full_tap.ns_over_np_ratio)


def on_primary_v(tap: Tap, v_applied_v: float) -> float:
    """Return the voltage on the open primary when a tap is fed.

    Formula: V N_p / N_tap.
    Args: tap with turns or rated currents above zero; volts on the tap, above zero.
    Result: V.
    Valid below saturation.
    Raises BadInput for a voltage of zero or less.
    Source: arithmetic.

    >>> tap = Tap(tap_id="a", terminals_text="S1-S2", i_primary_rated_a=600, i_secondary_rated_a=1)
    >>> on_primary_v(tap, 300.0)
    0.5
    """
    return taps.primary_voltage_v(v_applied_v, 1.0, tap.ns_over_np_ratio)


def open_secondary_least_v(v_knee_v: float) -> float:
    """Return the least peak voltage of a secondary left open while primary current saturates its core.

    Formula: sqrt(2) V_knee.
    Args: knee voltage of the whole winding in V r.m.s., above zero.
    Result: V peak. A bound from below: the true peak is higher, often by many times.
    Valid where the primary current drives the core past its knee.
    Raises BadInput for a voltage of zero or less.
    Source: arithmetic. Assumption: without hysteresis the flux follows the current by a concave curve, so
    that the voltage is highest where the current passes zero, and there at least omega N times the peak
    flux, which is that of the knee or more.

    >>> round(open_secondary_least_v(250.0), 1)
    353.6
    """
    return math.sqrt(2.0) * positive_scalar("knee voltage", v_knee_v)


def suggested_highest_v(scene: Scene, tap: Tap) -> float | None:
    """Return the highest excitation voltage that makes sense on a tap.

    Formula: the least of the voltage that the class asks for (1.1 Ek, E_ALF, E_FS, or the e.m.f. of the C
    rating) and the ceiling of the job brought down to the turns of this tap.
    Args: the scene of the core, and one of its taps.
    Result: V at the terminals fed; None where neither is known.
    Valid at rated frequency; the resistance test of record is needed for E_ALF, E_FS and the C rating.
    Source: arithmetic; 1.1 Ek from IEC 61869-2:2012, 3.4.215.
    """
    known = [
        volts for volts in (voltage_wanted_v(scene, tap), ceiling_on_tap_v(scene, tap)) if volts is not None
    ]
    return min(known, default=None)


def figures_of(scene: Scene, procedure_id: str, take: Take | None, row: str = "") -> SafetyFigures:
    """The figures for one test of one core: of the row in hand, else of the highest volts keyed so far."""
    applied = _applied_v(procedure_id, take, row)
    held = None if take is None else _held_s(take)
    discharge = insulation.discharge_time_s(held) if held is not None and held > 0.0 else None
    tap = _tap(scene, procedure_id, take, row)
    ceiling = scene.job.references.voltage_ceiling_v
    if tap is None or procedure_id in _INSULATION:
        terminals = None if tap is None else tap.terminals_text
        return SafetyFigures(terminals, v_applied_v=applied, v_ceiling_v=ceiling, discharge_s=discharge)
    full = None if applied is None else full_winding_v(scene.core, tap, applied)
    highest = suggested_highest_v(scene, tap)
    return SafetyFigures(
        terminals_text=tap.terminals_text,
        v_applied_v=applied,
        v_full_v=full,
        v_primary_v=None if applied is None else on_primary_v(tap, applied),
        v_highest_v=highest,
        v_ceiling_v=ceiling,
        discharge_s=discharge,
        w_stored_j=_stored_j(scene, procedure_id, take, tap, row),
        v_full_highest_v=None if highest is None else full_winding_v(scene.core, tap, highest),
        v_primary_highest_v=None if highest is None else on_primary_v(tap, highest),
        v_open_least_v=_open_least_v(scene),
        over_ceiling=full is not None and ceiling is not None and full > ceiling,
    )


def placeholders(known: SafetyFigures) -> dict[str, str]:
    """What `str.format` puts into the text of a caution; every placeholder is always there.

    >>> placeholders(SafetyFigures(v_full_v=1200.0))["v_full_v"].replace(figures.UNIT_GAP, " ")
    '1\\u202f200 V'
    >>> placeholders(SafetyFigures())["discharge_s"]
    'not known yet'
    """
    volts = {name: getattr(known, name) for name in _VOLTS}
    shown = {name: _shown(value, "V") for name, value in volts.items()}
    return {
        **shown,
        "v_open_least_v": _at_least(known.v_open_least_v),
        "terminals": known.terminals_text or "the terminals fed",
        "discharge_s": _shown(known.discharge_s, "s"),
        "w_stored_j": _joules(known.w_stored_j),
    }


def _shown(value: float | None, unit: str) -> str:
    return NOT_KNOWN if value is None else figures.with_unit(value, unit, significant=4 if value < 1e4 else 5)


def _at_least(value: float | None) -> str:
    """A bound from below in two figures, never rounded up."""
    if value is None:
        return NOT_KNOWN
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return figures.with_unit(math.floor(value / step) * step, "V", significant=2)


def _joules(value: float | None) -> str:
    return NOT_KNOWN if value is None else f"{figures.text(value, '1', significant=2)}{figures.UNIT_GAP}J"


def _stored_j(scene: Scene, procedure_id: str, take: Take | None, tap: Tap, row: str) -> float | None:
    """Energy in the core at the direct current of a resistance test, by the curve of the same tap; None where
    either is missing, or the current lies beyond the curve."""
    if take is None or procedure_id != "resistance":
        return None
    rows = (take.row(row),) if row else (take.row(tap.tap_id),)
    direct = [amperes for amperes in (value_of(entry, "i_test_a") for entry in rows) if amperes]
    for entry in reversed(scene.takes.get((scene.core.core_id, "excitation"), ())):
        view = measured(scene, entry) if tap_fed(scene.core, entry) is tap else None
        if view is not None and view.curve is not None and direct and max(direct) > 0.0:
            return stored_energy_j(view.curve, max(direct), scene.job.frequency_rated_hz)
    return None


def _held_s(take: Take) -> float | None:
    """How long the volts stood: as noted, or up to the last of the readings over time."""
    times = [SECONDS[row.row] for row in take.rows if row.row in SECONDS]
    if take.procedure_id == "insulation_time":
        return max(times, default=None)
    return value_of(take.method, "duration_s")


def _open_least_v(scene: Scene) -> float | None:
    """By the knee of the whole winding as measured, else by the rated one of the plate, the least it has."""
    whole = scene.core.full_tap
    for entry in reversed(scene.takes.get((scene.core.core_id, "excitation"), ())):
        knee = measured(scene, entry).knees.get("iec") if tap_fed(scene.core, entry) is whole else None
        if isinstance(knee, Knee):
            return open_secondary_least_v(knee.voltage_v)
    classes = classes_of(scene.core)
    rated = () if isinstance(classes, Trouble) else [one.ek_v for one in classes if one.ek_v]
    return open_secondary_least_v(max(rated)) if rated else None


def _tap(scene: Scene, procedure_id: str, take: Take | None, row: str) -> Tap | None:
    """The tap in hand; the whole winding where none is."""
    if plate_trouble(scene.core) is not None:
        return None
    fed = tap_fed(scene.core, take) if take is not None and procedure_id == "excitation" else None
    return fed or scene.core.tap(row) or scene.core.full_tap


def _applied_v(procedure_id: str, take: Take | None, row: str) -> float | None:
    quantity_id = _FED.get(procedure_id)
    if take is None or quantity_id is None:
        return None
    rows: tuple[Row, ...] = (take.method, *((take.row(row),) if row else take.rows))
    found = [volts for volts in (value_of(entry, quantity_id) for entry in rows) if volts is not None]
    highest = max(found, default=None)
    return highest if highest is not None and highest > 0.0 else None
