"""Duty: stability voltage, stabilising resistor and peak, the knee a relay asks for, an offset fault."""

from __future__ import annotations

from typing import Final

from ctcore import worked
from ctcore.curve import Knee
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import Tap
from ctcore.judgement.burden import tap_in_use
from ctcore.judgement.cells import Trouble, number
from ctcore.judgement.excitation_curve import measured
from ctcore.judgement.excitation_targets import winding_at
from ctcore.judgement.limit import Limit, against_limit, standing_of, to_four_digits
from ctcore.judgement.memory import remembered
from ctcore.judgement.plate import tap_fed
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.takes import Row, Take
from ctcore.worked import Worked

STABILITY, FACTOR, OFFSET = "high_impedance", "factor", "offset"
ROWS: Final = (
    FixedRow(row=STABILITY, words="High impedance", required=False),
    FixedRow(row=FACTOR, words="Factor of the relay", required=False),
    FixedRow(row=OFFSET, words="Offset fault", required=False),
)
_CUSTOM: Final = "common practice, no source"
_HIGH_IMPEDANCE: Final = ("v_stability_v", "v_knee_least_v", "r_stabilising_ohm", "v_peak_v")
# The figure that the knee of the core is held against.
_LEAST: Final = ("v_knee_least_v", "v_knee_required_v")
Figures = list[tuple[str, Worked]]


@remembered(own=("resistance", "excitation"))
def derive(scene: Scene, take: Take) -> list[Derived]:
    """The figures of every row, each with its formula and the numbers put in as its note."""
    derived = []
    for row in _keyed(take):
        found = _figures(scene, take.row(row), row)
        if not isinstance(found, Trouble):
            derived += [
                Derived(row, quantity_id, figure.value, note=figure.text) for quantity_id, figure in found
            ]
    return derived


@remembered(own=("resistance", "excitation"))
def judge(scene: Scene, take: Take) -> list[Finding]:
    """Every figure as it was worked out, and the knee of the core against the one that is asked for."""
    return [finding for row in _keyed(take) for finding in _judge_row(Spot(scene, take, row))]


def _keyed(take: Take) -> list[str]:
    return [fixed.row for fixed in ROWS if take.row(fixed.row).cells]


def _judge_row(spot: Spot) -> list[Finding]:
    found = _figures(spot.scene, spot.take.row(spot.row), spot.row)
    if isinstance(found, Trouble):
        return [troubled(spot, "judgement", found, rule=f"duty.{spot.row}")]
    findings = [
        told(
            spot,
            quantity_id,
            "not applicable",
            f"{figure.text}.",
            rule=f"duty.{quantity_id}",
            value=figure.value,
            source=figure.source,
            standing="from memory" if "from memory" in figure.source else _CUSTOM,
        )
        for quantity_id, figure in found
    ]
    asked = next((figure.value for quantity_id, figure in found if quantity_id in _LEAST), None)
    return findings if asked is None else [*findings, _knee(spot, asked)]


def _knee(spot: Spot, asked_v: float) -> Finding:
    """The knee as measured at the terminals in use; below what is asked somebody decides."""
    rule = f"duty.knee_{spot.row}"
    known = knee_in_use(spot.scene)
    if isinstance(known, Trouble):
        return troubled(spot, "v_knee_iec_v", known, rule=rule)
    limit = Limit(rule, to_four_digits(asked_v), None, _CUSTOM, standing_of(_CUSTOM))
    return against_limit(spot, "v_knee_iec_v", known, limit, beyond="refer", guarded=False)


def knee_in_use(scene: Scene) -> float | Trouble:
    """The 10/50 knee of the last curve of the terminals in use, in V."""
    tap = tap_in_use(scene)
    for take in reversed(scene.takes.get((scene.core.core_id, "excitation"), ())):
        if tap is not None and tap_fed(scene.core, take) is tap:
            knee = measured(scene, take).knees.get("iec", "no curve can be drawn")
            if isinstance(knee, Knee):
                return knee.voltage_v
            return Trouble("not tested", f"The knee of the curve is not known: {knee}.")
    return Trouble("not tested", "There is no curve of the terminals in use to take the knee from.")


def _figures(scene: Scene, row: Row, name: str) -> Figures | Trouble:
    tap = tap_in_use(scene)
    if tap is None:
        return Trouble("not tested", "The plate names no terminals.")
    winding = winding_at(scene, tap)
    if isinstance(winding, Trouble):
        return winding
    try:
        makers = {STABILITY: _high_impedance, FACTOR: _factor, OFFSET: _offset}
        return makers[name](scene, row, tap, winding.r_75degc_ohm or 0.0)
    except _Missing as missing:
        return missing.trouble
    except BadInput as refusal:
        words = f"{refusal.quantity[:1].upper()}{refusal.quantity[1:]}: {refusal.reason}."
        return Trouble("refer", words)


class _Missing(Exception):
    """A figure that a formula needs is not there."""

    def __init__(self, trouble: Trouble) -> None:
        super().__init__(trouble.text)
        self.trouble = trouble


def _asked(row: Row, quantity_id: str) -> float:
    found = number(row, quantity_id)
    if isinstance(found, Trouble):
        raise _Missing(found)
    return found.value


def _or_none(row: Row, quantity_id: str) -> float | None:
    """A figure that may be left out; one that is kept but is no number stops the row."""
    if row.cell(quantity_id).empty:
        return None
    return _asked(row, quantity_id)


def _high_impedance(scene: Scene, row: Row, tap: Tap, r_winding_ohm: float) -> Figures:
    knee = knee_in_use(scene)
    figures = worked.high_impedance(
        _asked(row, "i_fault_primary_a"),
        ns_over_np=tap.ns_over_np_ratio,
        r_winding_ohm=r_winding_ohm,
        r_loop_ohm=_asked(row, "r_loop_ohm"),
        i_setting_a=_asked(row, "i_setting_a"),
        r_relay_ohm=_or_none(row, "r_relay_ohm") or 0.0,
        v_knee_v=None if isinstance(knee, Trouble) else knee,
        i_internal_fault_a=_or_none(row, "i_fault_internal_a"),
    )
    return list(zip(_HIGH_IMPEDANCE, figures, strict=False))


def _factor(_scene: Scene, row: Row, tap: Tap, r_winding_ohm: float) -> Figures:
    figure = worked.knee_required(
        _asked(row, "factor_k_ratio"),
        _asked(row, "i_fault_primary_a"),
        ns_over_np=tap.ns_over_np_ratio,
        r_winding_ohm=r_winding_ohm,
        r_loop_ohm=_asked(row, "r_loop_ohm"),
        r_relay_ohm=_or_none(row, "r_relay_ohm") or 0.0,
    )
    return [("v_knee_required_v", figure)]


def _offset(scene: Scene, row: Row, tap: Tap, r_winding_ohm: float) -> Figures:
    """The saturation-free voltage, and with the knee as saturation voltage the time to saturation."""
    i_fault_a, x_over_r = _asked(row, "i_fault_primary_a"), _asked(row, "x_over_r_ratio")
    z_total = r_winding_ohm + _asked(row, "r_loop_ohm") + (_or_none(row, "r_relay_ohm") or 0.0)
    free = worked.saturation_free(
        i_fault_a,
        x_over_r,
        ns_over_np=tap.ns_over_np_ratio,
        z_total_ohm=z_total,
        remanence_ratio=_or_none(row, "remanence_ratio") or 0.0,
    )
    figures = [("v_saturation_free_v", free)]
    knee = knee_in_use(scene)
    if isinstance(knee, Trouble) or x_over_r <= 0.0:
        return figures
    share = 1.0 - (_or_none(row, "remanence_ratio") or 0.0)
    factor = share * knee * tap.ns_over_np_ratio / (i_fault_a * z_total)
    if factor > 1.0:
        time = worked.time_to_saturation(factor, x_over_r, scene.job.frequency_rated_hz)
        figures.append(("t_saturation_s", time))
    return figures
