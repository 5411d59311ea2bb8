"""One class of the plate checked on one curve: what every such check needs."""

from __future__ import annotations

from dataclasses import dataclass

from ctcore.curve import Curve
from ctcore.findings import Finding
from ctcore.job import Tap
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_curve import CurveView, Point, current_at, u_current_at
from ctcore.judgement.excitation_targets import Emf
from ctcore.judgement.limit import Limit, against_limit, overridden, shown
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.nameplate import AccuracyClass

# Practice: neighbours up to a quarter apart tell the curve between them, and within 1 % of a reading the
# curve is that reading; common practice, no source.
WIDE_RATIO = 1.25
AT_READING_REL = 0.01


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

    def gap_doubts(self, voltage_v: float, bound_a: float | None) -> tuple[str, ...]:
        """That a current up to the bound is only drawn over a wide gap, whose upper end is beyond it."""
        gap = wide_gap(self.view, voltage_v)
        # The current rises with the voltage: what holds at the upper neighbour holds below it.
        if gap is None or bound_a is None or gap[1].current_a <= bound_a:
            return ()
        return (gap_words(gap),)

    def held(self, limit: Limit) -> Limit:
        """The limit that the check is judged by: the office's where it set one."""
        return overridden(self.spot, limit)

    def short_of(self, quantity_id: str, wanted_v: float, limit: Limit, *, per_a: float = 1.0) -> Finding:
        """Readings that end below a voltage: outside all the same where the current is over already.

        `per_a` carries amperes to the quantity that is limited.
        """
        last, bound = current_at(self.view, self.last_v), self.held(limit).high
        if wanted_v > self.last_v and last is not None and bound is not None and last * per_a > bound:
            reached, wanted = shown("v_highest_v", self.last_v), shown("v_highest_v", wanted_v)
            u = u_current_at(self.view, self.last_v, last)
            return self.against(
                quantity_id,
                last * per_a,
                limit,
                u_expanded=None if u is None else u * per_a,
                note=f"Already at {reached}, short of {wanted}.",
            )
        return self.not_reached(quantity_id, wanted_v, rule=limit.rule)

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


def wide_gap(view: CurveView, voltage_v: float, *, ratio: float = WIDE_RATIO) -> tuple[Point, Point] | None:
    """The neighbours of a voltage where they stand too far apart to tell the current between; else None."""
    return None if view.curve is None else wide_gap_of(view.curve, voltage_v, ratio=ratio)


def wide_gap_of(curve: Curve, voltage_v: float, *, ratio: float = WIDE_RATIO) -> tuple[Point, Point] | None:
    """As `wide_gap`, of a curve by itself."""
    held = curve.readings
    pairs = zip(held.voltage_v, held.current_a, strict=True)
    points = [Point("", volts, amperes) for volts, amperes in pairs]
    below = [point for point in points if point.voltage_v <= voltage_v * (1.0 + AT_READING_REL)]
    above = [point for point in points if point.voltage_v >= voltage_v * (1.0 - AT_READING_REL)]
    if not below or not above or above[0].voltage_v <= ratio * below[-1].voltage_v:
        return None
    return below[-1], above[0]


def gap_words(gap: tuple[Point, Point]) -> str:
    """That nothing was read between two neighbours."""
    low, high = (shown("v_excitation_v", point.voltage_v) for point in gap)
    return f"Nothing was read between {low} and {high}, where it would be decided: take a point there."


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
