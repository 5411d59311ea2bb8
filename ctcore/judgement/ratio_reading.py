"""One row of a ratio test turned into turns ratio or ratio error, phase displacement and polarity."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ctcore import ratio
from ctcore.errors import BadInput
from ctcore.job import Reading, Tap
from ctcore.judgement.cells import Number, Trouble, choice, number, value_of
from ctcore.judgement.excitation_curve import current_at, measured
from ctcore.judgement.limit import shown
from ctcore.judgement.meter import standard_uncertainty
from ctcore.judgement.plate import tap_fed
from ctcore.judgement.winding import winding_of_record
from ctcore.procedure import Scene
from ctcore.takes import Take

HALF_TURN_ARCMIN = 10800.0
QUARTER_TURN_ARCMIN = 5400.0
# Practice: within 30 degrees of zero or of half a turn the displacement tells the polarity; common practice,
# no source.
NEAR_ARCMIN = 1800.0


@dataclass(frozen=True, slots=True)
class RatioReading:
    """What one row gives; what the method does not give is None, and `trouble` says what is missing.

    `turns_ratio` is N_s/N_p by the voltage method, `true_ratio` I_p/I_s by the others. `drop_rel` is the part
    of the secondary voltage that may have been lost in the winding, None where it is not known.
    `phase_note` says what was added to the displacement read, `phase_reasons` why it cannot be relied on.
    """

    method: str
    trouble: Trouble | None = None
    turns_ratio: float | None = None
    turns_ratio_error_percent: float | None = None
    true_ratio: float | None = None
    ratio_error_percent: float | None = None
    u_error_percent: float | None = None
    phase_displacement_arcmin: float | None = None
    u_phase_arcmin: float | None = None
    phase_note: str = ""
    phase_reasons: tuple[str, ...] = ()
    percent_current: float | None = None
    drop_rel: float | None = None
    readings: tuple[Reading, ...] = ()


def ratio_reading(scene: Scene, take: Take, tap: Tap) -> RatioReading:
    """Read one row by the method of the take."""
    method = choice(take.method, "ratio_method")
    if isinstance(method, Trouble):
        return RatioReading("", trouble=method)
    try:
        by_method = {
            "voltage": _by_voltage,
            "current": _by_current,
            "comparison": _by_comparison,
            "instrument": _by_instrument,
        }
        return by_method[method](scene, take, tap)
    except BadInput as refusal:
        words = f"{refusal.quantity[:1].upper()}{refusal.quantity[1:]} {refusal.value!s}: {refusal.reason}."
        return RatioReading(method, trouble=Trouble("not tested", words))
    except KeyError:
        return RatioReading(method, trouble=Trouble("refer", f"“{method}” is no method known here."))


def polarity_of(take: Take, tap: Tap) -> str | Trouble:
    """The word "agrees" or "opposes", as noted or by the phase displacement; else why it is not known."""
    row = take.row(tap.tap_id)
    noted = choice(row, "polarity_read")
    phase = value_of(row, "phase_displacement_arcmin")
    by_phase = None if phase is None else _polarity_by_phase(phase)
    if isinstance(noted, Trouble):
        return by_phase if by_phase is not None and noted.verdict == "not tested" else noted
    if isinstance(by_phase, Trouble):
        return by_phase
    if noted not in ("agrees", "opposes"):
        return Trouble("refer", f"“{noted}” is no polarity.")
    if by_phase is not None and by_phase != noted:
        return Trouble("refer", f"Polarity is noted as “{noted}”, the phase displacement says “{by_phase}”.")
    return noted


def own_phase_arcmin(phase: float) -> float:
    """The displacement without the half turn of a reversed winding.

    >>> own_phase_arcmin(-10790.0)
    10.0
    """
    return phase if abs(phase) <= QUARTER_TURN_ARCMIN else phase - math.copysign(HALF_TURN_ARCMIN, phase)


def _polarity_by_phase(phase: float) -> str | Trouble:
    if abs(phase) <= NEAR_ARCMIN:
        return "agrees"
    if abs(abs(phase) - HALF_TURN_ARCMIN) <= NEAR_ARCMIN:
        return "opposes"
    return Trouble("refer", "The phase displacement lies near neither zero nor half a turn.")


def _pair(row_pair: tuple[Number | Trouble, Number | Trouble]) -> tuple[Number, Number] | Trouble:
    first, second = row_pair
    if isinstance(first, Trouble):
        return first
    return second if isinstance(second, Trouble) else (first, second)


def _u_quotient_percent(scene: Scene, first: Number, second: Number) -> float | None:
    """Expanded uncertainty of a quotient in percent; the two instruments are taken as independent."""
    u_first = standard_uncertainty(scene, first.reading, first.value)
    u_second = standard_uncertainty(scene, second.reading, second.value)
    if u_first is None or u_second is None:
        return None
    return 200.0 * math.hypot(u_first / first.value, u_second / second.value)


def _by_voltage(scene: Scene, take: Take, tap: Tap) -> RatioReading:
    row = take.row(tap.tap_id)
    pair = _pair((number(row, "v_secondary_v"), number(row, "v_primary_v")))
    if isinstance(pair, Trouble):
        return RatioReading("voltage", trouble=pair)
    secondary, primary = pair
    turns = float(ratio.turns_ratio_from_voltages(secondary.value, primary.value))
    error = float(ratio.turns_ratio_error_percent(turns, tap.ns_over_np_ratio))
    return RatioReading(
        "voltage",
        turns_ratio=turns,
        turns_ratio_error_percent=error,
        u_error_percent=_u_quotient_percent(scene, secondary, primary),
        drop_rel=_drop_rel(scene, take, tap, secondary.value),
        readings=(secondary.reading, primary.reading),
    )


def _drop_rel(scene: Scene, take: Take, tap: Tap, v_secondary_v: float) -> float | None:
    """I Rct / U of the exciting current, as read beside the volts or by the curve; None where not known."""
    i_excitation = value_of(take.row(tap.tap_id), "i_excitation_a")
    # A current of zero is a meter that could not read it.
    if i_excitation is None or i_excitation == 0.0:
        i_excitation = _current_of_record(scene, tap, v_secondary_v)
    record = winding_of_record(scene, scene.core, tap)
    if i_excitation is None or record is None or record[0].r_winding_ohm is None:
        return None
    return abs(i_excitation) * record[0].r_winding_ohm / v_secondary_v


def _current_of_record(scene: Scene, tap: Tap, voltage_v: float) -> float | None:
    """The exciting current at these volts by the excitation test of the same tap; below its first reading the
    current there, which is more."""
    for take in reversed(scene.takes.get((scene.core.core_id, "excitation"), ())):
        fed = tap_fed(scene.core, take)
        view = measured(scene, take) if fed is not None and fed.tap_id == tap.tap_id else None
        if view is not None and view.curve is not None:
            return current_at(view, max(voltage_v, view.curve.voltage_first_v))
    return None


def _by_current(scene: Scene, take: Take, tap: Tap) -> RatioReading:
    row = take.row(tap.tap_id)
    pair = _pair((number(row, "i_primary_a"), number(row, "i_secondary_a")))
    if isinstance(pair, Trouble):
        return RatioReading("current", trouble=pair)
    primary, secondary = pair
    error = float(ratio.ratio_error_percent(tap.k_rated_ratio, primary.value, secondary.value))
    phase, u_phase, more = _phase(scene, take, tap)
    return RatioReading(
        "current",
        true_ratio=primary.value / secondary.value,
        ratio_error_percent=error,
        u_error_percent=_u_quotient_percent(scene, secondary, primary),
        phase_displacement_arcmin=phase,
        u_phase_arcmin=u_phase,
        percent_current=100.0 * primary.value / tap.i_primary_rated_a,
        readings=(primary.reading, secondary.reading, *more),
    )


def _by_comparison(scene: Scene, take: Take, tap: Tap) -> RatioReading:
    """Against a reference transformer in the same primary current: Ip = kr,ref Iref / (1 + error)."""
    row = take.row(tap.tap_id)
    rated, error = number(take.method, "k_reference_ratio"), number(take.method, "reference_error_percent")
    reference, secondary = number(row, "i_reference_a"), number(row, "i_secondary_a")
    for found in (rated, error, reference, secondary):
        if isinstance(found, Trouble):
            return RatioReading("comparison", trouble=found)
    assert isinstance(rated, Number)
    assert isinstance(error, Number)
    pair = _pair((reference, secondary))
    assert not isinstance(pair, Trouble)
    i_primary = rated.value * pair[0].value / (1.0 + error.value / 100.0)
    u_reference = reference_share(scene, take, error, "u_reference_error_percent")
    base = RatioReading(
        "comparison",
        true_ratio=i_primary / pair[1].value,
        ratio_error_percent=float(ratio.ratio_error_percent(tap.k_rated_ratio, i_primary, pair[1].value)),
        u_error_percent=_joined(_u_quotient_percent(scene, pair[1], pair[0]), u_reference),
        percent_current=100.0 * i_primary / tap.i_primary_rated_a,
        readings=(pair[0].reading, pair[1].reading, error.reading),
    )
    return _with_phase_of_reference(scene, take, tap, base)


def reference_share(scene: Scene, take: Take, error: Number, u_quantity_id: str) -> float | None:
    """Standard uncertainty of an error of the reference transformer: U/2 of its certificate, else of the
    instrument that the error was read with; None where neither is stated.
    """
    u_expanded = number(take.method, u_quantity_id)
    if isinstance(u_expanded, Number) and u_expanded.value > 0.0:
        return u_expanded.value / 2.0
    return standard_uncertainty(scene, error.reading, error.value)


def _joined(u_expanded: float | None, u_reference: float | None) -> float | None:
    return None if u_expanded is None or u_reference is None else math.hypot(u_expanded, 2.0 * u_reference)


def _with_phase_of_reference(scene: Scene, take: Take, tap: Tap, base: RatioReading) -> RatioReading:
    """The displacement read is that against the reference, whose own is added; without it nothing is sure."""
    phase, u_phase, more = _phase(scene, take, tap)
    if phase is None:
        return base
    own = number(take.method, "reference_phase_arcmin")
    if isinstance(own, Trouble):
        reason = "The phase displacement of the reference transformer is not stated."
        return replace(
            base,
            phase_displacement_arcmin=phase,
            phase_reasons=(reason,),
            readings=(*base.readings, *more),
        )
    return replace(
        base,
        phase_displacement_arcmin=float(ratio.compared_with_standard(phase, own.value)),
        u_phase_arcmin=_joined(u_phase, reference_share(scene, take, own, "u_reference_phase_arcmin")),
        phase_note=f"With {shown('reference_phase_arcmin', own.value)} of the reference transformer.",
        readings=(*base.readings, *more, own.reading),
    )


def _by_instrument(scene: Scene, take: Take, tap: Tap) -> RatioReading:
    row = take.row(tap.tap_id)
    error = number(row, "ratio_error_read_percent")
    if isinstance(error, Trouble):
        return RatioReading("instrument", trouble=error)
    u_error = standard_uncertainty(scene, error.reading, error.value)
    phase, u_phase, more = _phase(scene, take, tap)
    return RatioReading(
        "instrument",
        true_ratio=tap.k_rated_ratio * float(ratio.rcf_from_ratio_error(error.value)),
        ratio_error_percent=error.value,
        u_error_percent=None if u_error is None else 2.0 * u_error,
        phase_displacement_arcmin=phase,
        u_phase_arcmin=u_phase,
        percent_current=value_of(row, "i_percent_rated_percent"),
        readings=(error.reading, *more),
    )


def _phase(scene: Scene, take: Take, tap: Tap) -> tuple[float | None, float | None, tuple[Reading, ...]]:
    found = number(take.row(tap.tap_id), "phase_displacement_arcmin")
    if isinstance(found, Trouble):
        return None, None, ()
    own = own_phase_arcmin(found.value)
    u = standard_uncertainty(scene, found.reading, own)
    return own, None if u is None else 2.0 * u, (found.reading,)
