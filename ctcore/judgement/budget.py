"""The uncertainty budget of a derived value, line by line, from the readings that it was derived from."""

from __future__ import annotations

import math
from collections.abc import Callable

from ctcore.insulation import CorrectionFactor
from ctcore.judgement import insulation
from ctcore.judgement.budget_curve import curve_budget
from ctcore.judgement.burden import tap_in_use
from ctcore.judgement.cells import Number, Trouble, number
from ctcore.judgement.meter import shares
from ctcore.judgement.ratio_reading import ratio_reading, reference_share
from ctcore.judgement.winding import correction_to_75degc, lead_of
from ctcore.procedure import Scene
from ctcore.takes import Take
from ctcore.uncertainty import Budget, Line


def budget_of(scene: Scene, take: Take, row: str, quantity_id: str) -> Budget | None:
    """Return the uncertainty budget of one derived value of a take.

    Formula: JCGM 100 sums over the readings that the value was derived from: specification of the instrument
    as a rectangular limit, last digit typed, and what a value of another test brings along.
    Args: what the procedure looked at; the take; the row of the derived value, empty for the whole curve; its
    quantity.
    Result: `Budget` whose value and expanded uncertainty are those of the derived value; None where the value
    carries none, as when an instrument states no specification.
    Valid for the derived values of resistance, ratio, insulation, burden and excitation.
    Assumption: two readings of one instrument count as independent. In quotients and differences, which are
    all that is made of them here, a common error cancels in part, so that this is the safe side.
    Source: JCGM 100:2008, 4.3.7, 5.1.2 and 5.2.2.
    """
    makers: dict[str, Callable[[Scene, Take, str, str], Budget | None]] = {
        "resistance": _resistance,
        "ratio": _ratio,
        "insulation": _insulation,
        "insulation_time": _insulation,
        "burden": _burden,
        "excitation": curve_budget,
    }
    maker = makers.get(take.procedure_id)
    return None if maker is None else maker(scene, take, row, quantity_id)


def reading_lines(
    scene: Scene, found: Number | Trouble, name: str, sensitivity: float
) -> tuple[Line, ...] | None:
    """The lines of one reading: its instrument and its last digit; None where no specification is stated."""
    parts = None if isinstance(found, Trouble) else shares(scene, found.reading, found.value)
    if isinstance(found, Trouble) or parts is None:
        return None
    return (
        Line(name, found.value, parts.u_specification, sensitivity, parts.instrument_text, "rectangular"),
        Line(f"{name}, last digit", found.value, parts.u_digit, sensitivity, "resolution", "rectangular"),
    )


def _together(quantity: str, unit: str, value: float, *groups: tuple[Line, ...] | None) -> Budget | None:
    known = [group for group in groups if group is not None]
    if len(known) < len(groups):
        return None
    return Budget(quantity, unit, value, tuple(line for group in known for line in group))


def _resistance(scene: Scene, take: Take, row: str, quantity_id: str) -> Budget | None:
    measured, lead = number(take.row(row), "r_measured_ohm"), lead_of(take)
    if isinstance(measured, Trouble) or isinstance(lead, Trouble):
        return None
    r_winding = measured.value - (lead.value if lead else 0.0)
    factor, groups = 1.0, []
    name = "winding resistance at test temperature"
    if quantity_id == "r_winding_75degc_ohm":
        degc = number(take.method, "t_winding_degc")
        correction = None if isinstance(degc, Trouble) else correction_to_75degc(degc.value, scene.core)
        if correction is None:
            return None
        factor, slope_rel = correction
        name = "winding resistance at 75 °C"
        groups.append(reading_lines(scene, degc, "winding temperature", -r_winding * factor * slope_rel))
    elif quantity_id != "r_winding_ohm":
        return None
    groups.append(reading_lines(scene, measured, "resistance as read", factor))
    if lead is not None:
        groups.append(reading_lines(scene, lead, "lead resistance", -factor))
    return _together(name, "ohm", r_winding * factor, *groups)


def _ratio(scene: Scene, take: Take, row: str, quantity_id: str) -> Budget | None:
    tap = scene.core.tap(row)
    found = None if tap is None else ratio_reading(scene, take, tap)
    if found is None or found.trouble is not None:
        return None
    pairs = {
        "voltage": ("v_secondary_v", "v_primary_v"),
        "current": ("i_secondary_a", "i_primary_a"),
        "comparison": ("i_secondary_a", "i_reference_a"),
    }
    values = {
        "turns_ratio": ("turns ratio", "1", found.turns_ratio, 1.0),
        "turns_ratio_error_percent": (
            "turns ratio error",
            "percent",
            found.turns_ratio_error_percent,
            -100.0,
        ),
        "ratio_error_percent": ("ratio error", "percent", found.ratio_error_percent, 100.0),
    }
    if quantity_id not in values:
        return None
    name, unit, value, per_share = values[quantity_id]
    if value is None:
        return None
    if quantity_id == "turns_ratio":
        per_share = value
    if found.method == "instrument":
        own = number(take.row(row), "ratio_error_read_percent")
        return _together(name, unit, value, reading_lines(scene, own, "ratio error as read", 1.0))
    groups = []
    # To the first order: the sensitivity of a share of a reading, whatever the error is.
    for quantity, sign in zip(pairs[found.method], (1.0, -1.0), strict=True):
        one = number(take.row(row), quantity)
        share = 0.0 if isinstance(one, Trouble) else sign * per_share / one.value
        words = ("secondary" if sign > 0 else "primary") + (" volts" if quantity[0] == "v" else " amperes")
        groups.append(reading_lines(scene, one, words, share))
    if found.method == "comparison":
        groups.append(_reference_lines(scene, take))
    return _together(name, unit, value, *groups)


def _reference_lines(scene: Scene, take: Take) -> tuple[Line, ...] | None:
    """What the reference transformer brings along."""
    error = number(take.method, "reference_error_percent")
    if isinstance(error, Trouble):
        return None
    u = reference_share(scene, take, error, "u_reference_error_percent")
    if u is None:
        return None
    return (Line("error of the reference transformer", error.value, u, 1.0, "its certificate", "normal"),)


def _insulation(scene: Scene, take: Take, row: str, quantity_id: str) -> Budget | None:
    reading = number(take.row(row), insulation.RAW)
    factor, degc = insulation.factor_of(scene, take), number(take.method, "t_winding_degc")
    if quantity_id != insulation.AT_20 or isinstance(reading, Trouble) or isinstance(degc, Trouble):
        return None
    if not isinstance(factor, CorrectionFactor) or reading.value < 0.0:
        return None
    value = reading.value * factor.factor
    return _together(
        "insulation resistance at 20 °C",
        "ohm",
        value,
        reading_lines(scene, reading, "insulation resistance as read", factor.factor),
        reading_lines(scene, degc, "temperature", value * math.log(2.0) / 10.0),
    )


def _burden(scene: Scene, take: Take, row: str, quantity_id: str) -> Budget | None:
    tap = tap_in_use(scene)
    volts, amperes = number(take.row(row), "v_burden_v"), number(take.row(row), "i_burden_a")
    if tap is None or isinstance(volts, Trouble) or isinstance(amperes, Trouble):
        return None
    scales = {"burden_connected_va": ("burden", "VA", tap.i_secondary_rated_a**2)}
    if quantity_id not in scales or min(volts.value, amperes.value) <= 0.0:
        return None
    name, unit, scale = scales[quantity_id]
    value = scale * volts.value / amperes.value
    return _together(
        name,
        unit,
        value,
        reading_lines(scene, volts, "volts", value / volts.value),
        reading_lines(scene, amperes, "amperes", -value / amperes.value),
    )
