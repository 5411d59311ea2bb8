"""The excitation curve of one take as it is plotted and judged: points kept, left out, and what they hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ctcore.procedure import Scene
from ctcore.takes import Take

if TYPE_CHECKING:
    from ctcore.curve import Curve, Knee


@dataclass(frozen=True, slots=True)
class Point:
    """One reading of the curve: its row, volts and amperes."""

    row: str
    voltage_v: float
    current_a: float


@dataclass(frozen=True, slots=True)
class CurveView:
    """What a plot and a judgement need of one take.

    `kept` are the points of the curve in the order taken; `reversed` went down beyond the uncertainty of the
    volts and `struck` were struck out: both stand beside the curve. `curve` is None where no curve can be
    drawn, with `reason` saying why. `knees` holds a `Knee`, or the reason in words, by definition.
    """

    kept: tuple[Point, ...]
    reversed: tuple[Point, ...]
    struck: tuple[Point, ...]
    curve: Curve | None
    reason: str
    knees: Mapping[str, Knee | str] = field(default_factory=dict)
    next_voltage_v: float | None = None
    tap_id: str | None = None


def curve_of(scene: Scene, take: Take) -> CurveView:
    """The curve of one take."""
    points = []
    for row in take.rows:
        v, i = row.cell("v_excitation_v").number, row.cell("i_excitation_a").number
        if v is not None and i is not None:
            points.append(Point(row.row, v, i))
    return CurveView(tuple(points), (), (), None, "")
