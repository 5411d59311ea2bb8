"""What an excitation plot shows, as plain data in volts and amperes, or in their counts per turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.ui.plots.axes import AMPERES, VOLTS, Axis
from app.ui.plots.pins import Pin

CurveKind = Literal["hand", "sister", "certificate", "previous"]
KneeName = Literal["iec", "tangent30", "tangent45"]

KNEES: tuple[tuple[KneeName, str], ...] = (("iec", "10/50"), ("tangent30", "30°"), ("tangent45", "45°"))


@dataclass(frozen=True, slots=True)
class Pairs:
    """Points in the order taken, with the rows that they stand in where they were read here."""

    voltage_v: Sequence[float] = ()
    current_a: Sequence[float] = ()
    rows: Sequence[str] = ()

    def __len__(self) -> int:
        return len(self.voltage_v)


@dataclass(frozen=True, slots=True)
class KneeMark:
    """One knee of one curve with its expanded uncertainty (k = 2), None where it is not stated."""

    name: KneeName
    voltage_v: float
    current_a: float
    u_expanded_v: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveLine:
    """One curve: its points, the line through them, what stands beside it, and its knees."""

    key: str
    kind: CurveKind
    words: str
    phase_text: str = ""
    phase_index: int = -1
    points: Pairs = Pairs()
    line: Pairs = Pairs()
    struck: Pairs = Pairs()
    doubtful: Pairs = Pairs()
    knees: tuple[KneeMark, ...] = ()
    knee_reasons: tuple[tuple[KneeName, str], ...] = ()

    def knee(self, name: KneeName) -> KneeMark | None:
        """The knee of that definition, or None where it was not reached."""
        return next((mark for mark in self.knees if mark.name == name), None)


@dataclass(frozen=True, slots=True)
class DutyPoint:
    """A point that the class or the duty asks the curve to pass: at most this current at this voltage."""

    voltage_v: float
    current_a: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlotContent:
    """All that is drawn. The curve in hand comes last, so that it lies on top.

    `envelope` is the edge beyond which a reading lies outside the allowance of a reference curve; `pins` are
    the comments on points of the curve in hand.
    """

    curves: tuple[CurveLine, ...] = ()
    plate_limit: tuple[float, float] | None = None
    duty: tuple[DutyPoint, ...] = ()
    envelope: Pairs = Pairs()
    next_voltage_v: float | None = None
    left_out_count: int = 0
    axis_x: Axis = AMPERES
    axis_y: Axis = VOLTS
    has_knees: bool = True
    pins: tuple[Pin, ...] = ()

    @property
    def in_hand(self) -> CurveLine | None:
        """The curve that is being keyed."""
        return next((curve for curve in self.curves if curve.kind == "hand"), None)

    @property
    def settled(self) -> tuple[CurveLine, ...]:
        """The curves beside it."""
        return tuple(curve for curve in self.curves if curve.kind != "hand")
