"""One class of the plate checked on one curve: what every such check needs."""

from __future__ import annotations

from dataclasses import dataclass

from ctcore.findings import Finding
from ctcore.job import Tap
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_curve import CurveView, current_at
from ctcore.judgement.excitation_targets import Emf
from ctcore.judgement.limit import Limit, against_limit, shown
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.nameplate import AccuracyClass


@dataclass(frozen=True, slots=True)
class Check:
    """The curve, the tap fed, the class, and what its conditions leave of a verdict."""

    spot: Spot
    tap: Tap
    accuracy: AccuracyClass
    view: CurveView
    doubts: tuple[str, ...]
    indicative: tuple[str, ...]
    note: str

    @property
    def last_v(self) -> float:
        """The highest voltage of the curve."""
        return self.view.curve.voltage_last_v if self.view.curve else 0.0

    @property
    def first_v(self) -> float:
        """The lowest voltage of the curve."""
        return self.view.curve.voltage_first_v if self.view.curve else 0.0

    def against(
        self,
        quantity_id: str,
        value: float,
        limit: Limit,
        *,
        u_expanded: float | None = None,
        doubts: tuple[str, ...] = (),
        note: str = "",
    ) -> Finding:
        """A value of the curve against a limit of the class."""
        words = " ".join(filter(None, (note, self.note)))
        return against_limit(
            self.spot,
            quantity_id,
            value,
            limit,
            u_expanded=u_expanded,
            doubts=(*doubts, *self.doubts),
            indicative=self.indicative,
            note=words,
        )

    def not_reached(self, quantity_id: str, wanted_v: float, *, rule: str) -> Finding:
        """The readings stop short of a voltage, or start above it."""
        last, wanted = shown("v_highest_v", self.last_v), shown("v_highest_v", wanted_v)
        text = f"The readings end at {last}; {wanted} are wanted."
        if wanted_v < self.first_v:
            text = f"The readings start at {shown('v_highest_v', self.first_v)}; {wanted} are wanted."
        return told(self.spot, quantity_id, "not tested", text, rule=rule)

    def trouble(self, quantity_id: str, trouble: Trouble, *, rule: str) -> Finding:
        """The finding for a figure that cannot be had."""
        return troubled(self.spot, quantity_id, trouble, rule=rule)


def current_with_drop_a(view: CurveView, emf_v: float, emf: Emf) -> float | None:
    """Exciting current where the volts at the terminals, less I Rct, are the e.m.f.

    Formula: solves U - I(U) R = E with R at the temperature of the test, by repetition; the true angle lies
    between this and no drop at all. None where U lies beyond the readings.
    """
    r_ohm = emf.winding.r_winding_ohm or 0.0
    volts = emf_v
    current = current_at(view, volts)
    for _ in range(60):
        if current is None:
            return None
        step = emf_v + current * r_ohm
        if abs(step - volts) <= 1e-9 * emf_v:
            return current
        volts = step
        current = current_at(view, volts)
    # Above the knee the repetition may swing away: the drop then decides more than the curve does.
    return None
