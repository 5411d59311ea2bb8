"""A small plot of a test: values of the phases over turns, time or current, inside their limits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from app.report.blocks import Block, words
from app.report.fonts import BODY, BOLD, TITLE, face
from app.report.pen import Pen
from app.report.plots.phases import CURVE_WIDTHS, STYLES, TICK_SIZE, legend, marker
from app.report.plots.scale import Point, ticks_125, ticks_linear
from app.words import figures

HEIGHT: Final = 158.0
_TITLE: Final = 12.0
_KEY: Final = 14.0
_FOOT: Final = 21.0
_LEFT: Final = 32.0
_AIR: Final = 0.06
_TEETH: Final = 9.0


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: the base unit of its values, what stands at its end, and whether it is logarithmic."""

    unit: str
    words: str
    is_log: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """The points of one phase in base units; `style` as on the plot of the excitation."""

    label: str
    style: int
    points: tuple[Point, ...]
    joined: bool = True


@dataclass(frozen=True, slots=True)
class Limit:
    """The edge of what is allowed, with teeth on the forbidden side, which is `above` it or below."""

    points: tuple[Point, ...]
    above: bool


@dataclass(frozen=True, slots=True)
class _Scale:
    """From a value to a place on the page."""

    low: float
    high: float
    start: float
    length: float
    is_log: bool

    def at(self, value: float) -> float:
        """Points on the page; a value outside goes outside."""
        return self.start + (self._bent(value) - self.low) / (self.high - self.low) * self.length

    def ticks(self, at_most: int) -> list[float]:
        """Round values within the axis."""
        if not self.is_log:
            return ticks_linear(self.low, self.high, at_most=at_most)
        found = ticks_125(self.low, self.high)
        return found if len(found) <= 2 * at_most else [tick for tick in found if f"{tick:e}"[0] == "1"]

    def _bent(self, value: float) -> float:
        return math.log10(value) if self.is_log else value


class Chart(Block):
    """Title, key, axes, limits, lines. `square`: equal lengths both ways, for a plane of impedances."""

    def __init__(
        self,
        title: str,
        across: Axis,
        up: Axis,
        lines: Sequence[Line],
        *,
        limits: Sequence[Limit] = (),
        from_zero: bool = False,
        square: bool = False,
    ) -> None:
        self.title = title
        self.across = across
        self.up = up
        self.lines = tuple(lines)
        self.limits = tuple(limits)
        self.from_zero = from_zero
        self.square = square

    def height(self, width: float) -> float:
        return HEIGHT

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        title = words(self.title, font=TITLE, size=8.5)
        title.draw(pen, x, top, width)
        # A title of more lines takes its room from the plot, so that plots side by side end alike.
        more = title.height(width) - title.size * title.leading
        top += more
        entries = [(line.label, line.style) for line in self.lines]
        legend(pen, x + _LEFT, top + _TITLE + 7.0, entries, room=width - _LEFT, size=7.5)
        box = (x + _LEFT, top + _TITLE + _KEY, width - _LEFT, HEIGHT - more - _TITLE - _KEY - _FOOT)
        across, up = self._scales(*box)
        self._grid(pen, across, up, box)
        pen.clip(*box)
        for limit in self.limits:
            _limit(pen, limit, across, up)
        for line in self.lines:
            places = [(across.at(px), up.at(py)) for px, py in line.points]
            if len(places) > 1 and line.joined:
                pen.path(places, width=CURVE_WIDTHS[line.style], dashes=STYLES[line.style])
        for line in self.lines:
            for px, py in dict.fromkeys(line.points):
                marker(pen, line.style, across.at(px), up.at(py), size=2.2)
        pen.unclip()
        pen.box(*box, width=0.7)

    def _scales(self, x: float, y: float, width: float, height: float) -> tuple[_Scale, _Scale]:
        spans = [
            self._span([point[place] for point in self._points()], axis)
            for place, axis in ((0, self.across), (1, self.up))
        ]
        (left, right), (low, high) = spans
        if self.square:
            # Equal lengths both ways: the axis with room to spare shows more.
            per_point = max((right - left) / width, (high - low) / height)
            right, high = left + per_point * width, low + per_point * height
        return (
            _Scale(left, right, x, width, self.across.is_log),
            _Scale(low, high, y + height, -height, self.up.is_log),
        )

    def _points(self) -> list[Point]:
        drawn = [line.points for line in self.lines] + [limit.points for limit in self.limits]
        return [point for points in drawn for point in points]

    def _span(self, values: Sequence[float], axis: Axis) -> tuple[float, float]:
        bent = [math.log10(value) if axis.is_log else value for value in values]
        low, high = min(bent), max(bent)
        if self.from_zero and not axis.is_log:
            low = min(low, 0.0)
        spread = (high - low) or abs(high) * 0.2 or 1.0
        floor = low if self.from_zero and low == 0.0 else low - _AIR * spread
        return floor, high + _AIR * spread

    def _grid(self, pen: Pen, across: _Scale, up: _Scale, box: tuple[float, float, float, float]) -> None:
        x, y, width, height = box
        placed = x - 100.0
        for value in across.ticks(6):
            at = across.at(value)
            pen.line(at, y, at, y + height, width=0.5, white=0.75)
            label = figures.text(value, self.across.unit)
            if placed < at - face(BODY).width(label, TICK_SIZE):
                pen.text(at, y + height + 8.5, label, size=TICK_SIZE, align="middle")
                placed = at
        for value in up.ticks(5):
            at = up.at(value)
            pen.line(x, at, x + width, at, width=0.5, white=0.4 if value == 0.0 else 0.75)
            if at > y + 9.0:
                pen.text(x - 3.5, at + 2.5, figures.text(value, self.up.unit), size=TICK_SIZE, align="right")
        pen.text(x + width, y + height + 16.5, self.across.words, font=BOLD, size=7.5, align="right")
        pen.text(x - 3.5, y + 5.5, self.up.words, font=BOLD, size=7.5, align="right")


def _limit(pen: Pen, limit: Limit, across: _Scale, up: _Scale) -> None:
    """A chain of lines with teeth, square to it, on the forbidden side."""
    places = [(across.at(px), up.at(py)) for px, py in limit.points]
    pen.path(places, width=1.2)
    for (x1, y1), (x2, y2) in pairwise(places):
        length = math.hypot(x2 - x1, y2 - y1)
        if length == 0.0:
            continue
        along = ((x2 - x1) / length, (y2 - y1) / length)
        # The page counts downwards: of the two normals the one that leads to the forbidden side.
        side = 1.0 if (along[0] >= 0.0) != limit.above else -1.0
        normal = (-along[1] * side, along[0] * side)
        for step in range(int(length // _TEETH) + 1):
            at = (x1 + along[0] * step * _TEETH, y1 + along[1] * step * _TEETH)
            pen.line(*at, at[0] + 4.0 * normal[0] + 2.0 * along[0], at[1] + 4.0 * normal[1], width=0.6)
