"""The excitation curves of a set on one log-log plot, with the knees enlarged in its empty corner."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.report.blocks import Block
from app.report.fonts import BODY, BOLD, face
from app.report.pen import HAIR, Pen
from app.report.plots.phases import CURVE_WIDTHS, STYLES, TICK_SIZE, legend, marker
from app.report.plots.scale import Point, Window, fitted, lines_fine, ticks_125, ticks_even
from app.words import figures, said
from ctcore.curve.knee import CURRENT_STEP_RATIO as STEP_ACROSS
from ctcore.curve.knee import VOLTAGE_STEP_RATIO as STEP_UP

_AXIS_LEFT = 24.0
_AXIS_FOOT = 13.0
_KEY = 13.0
_INSET_SHARES = ((0.50, 0.46), (0.44, 0.42), (0.38, 0.36), (0.34, 0.32))
_SQUEEZES = (1.0, 0.94, 0.88, 0.82, 0.76, 0.7, 0.64)
# A detail of 3 or 4 times is worth some of the size of the whole; one of 2 times is better than none.
_TRIALS = (
    *((squeeze, enlarged) for squeeze in _SQUEEZES[:5] for enlarged in (4.0, 3.0)),
    *((squeeze, 2.0) for squeeze in _SQUEEZES),
)


@dataclass(frozen=True, slots=True)
class KneeMark:
    """A knee of one curve by one definition: "iec", "tangent45" or "tangent30"."""

    definition: str
    voltage_v: float
    current_a: float


@dataclass(frozen=True, slots=True)
class Series:
    """One phase: its points as (current in A, voltage in V) in the order taken, and its knees.

    `style` chooses line and marker: 0 solid with circle, 1 dash with square, 2 dots with triangle.
    """

    label: str
    style: int
    points: tuple[Point, ...]
    knees: tuple[KneeMark, ...] = ()


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of logarithms of current and voltage."""

    log_left: float
    log_right: float
    log_low: float
    log_high: float


class ExcitationPlot(Block):
    """Volts up, current across, equal decades. `limit` is (largest current in A, at this voltage in V)."""

    def __init__(self, series: Sequence[Series], *, limit: Point | None, high: float) -> None:
        self.series = tuple(entry for entry in series if entry.points)
        self.limit = limit
        self.high = high

    def height(self, width: float) -> float:
        return self.high

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        box = (x + _AXIS_LEFT, top + _KEY, width - _AXIS_LEFT, self.high - _AXIS_FOOT - _KEY)
        window, inset = self._windows(*box)
        _grid(pen, window)
        _axes(pen, window)
        pen.clip(box[0], box[1], box[2], box[3])
        if self.limit is not None:
            _limit_corner(pen, window, self.limit, words=said("plate limit"))
        self._curves(pen, window, every=self._stride())
        pen.unclip()
        if inset is not None:
            self._inset(pen, inset, inset.decade / window.decade)
        pen.box(*box, width=0.7)
        self._legend(pen, window)

    def _all_points(self) -> list[Point]:
        points = [point for entry in self.series for point in entry.points]
        return [*points, self.limit] if self.limit is not None else points

    def _windows(self, x: float, y: float, width: float, height: float) -> tuple[Window, Window | None]:
        """The main window and that of the detail, in the largest sizes that leave the curves free."""
        points = self._all_points()
        span = self._knee_span()
        for squeeze, enlarged in _TRIALS if span else ():
            main = fitted(points, x=x, y=y, width=width, height=height, squeeze=squeeze)
            for share_w, share_h in _INSET_SHARES:
                inset = _inset_window(main, span, share_w, share_h, enlarged)
                if _holds(inset, span) and not self._covers(main, inset):
                    return main, inset
        return fitted(points, x=x, y=y, width=width, height=height), None

    def _knee_span(self) -> Span | None:
        """The stretch of the logarithms that the knees take, the step of 10/50 included."""
        places = [(knee.current_a, knee.voltage_v) for entry in self.series for knee in entry.knees]
        places += [
            (knee.current_a * STEP_ACROSS, knee.voltage_v * STEP_UP)
            for entry in self.series
            for knee in entry.knees
            if knee.definition == "iec"
        ]
        if not places:
            return None
        logs_i = [math.log10(current) for current, _ in places]
        logs_v = [math.log10(voltage) for _, voltage in places]
        return Span(min(logs_i), max(logs_i), min(logs_v), max(logs_v))

    def _covers(self, main: Window, inset: Window) -> bool:
        """Whether the frame of the detail would hide a point or a stretch of a curve."""
        left, top = inset.x - 30.0, inset.y - 16.0
        for entry in self.series:
            places = [main.at(*point) for point in entry.points]
            for (x1, y1), (x2, y2) in zip(places, places[1:] or places, strict=False):
                for part in range(9):
                    px, py = x1 + (x2 - x1) * part / 8.0, y1 + (y2 - y1) * part / 8.0
                    if px > left - 3.0 and py > top - 3.0:
                        return True
        if self.limit is not None:
            px, py = main.at(*self.limit)
            return px + 34.0 > left and py + 22.0 > top
        return False

    def _stride(self) -> int:
        """Markers are thinned on long curves; every reading stands in the table."""
        longest = max((len(entry.points) for entry in self.series), default=0)
        return max(1, math.ceil(longest / 24))

    def _curves(self, pen: Pen, window: Window, *, every: int, size: float = 2.2) -> None:
        for entry in self.series:
            places = [window.at(*point) for point in entry.points]
            if len(places) > 1:
                pen.path(places, width=CURVE_WIDTHS[entry.style], dashes=STYLES[entry.style])
        for entry in self.series:
            # Sister curves lie on each other: each marks other points than its neighbours do.
            start = entry.style % every if every > 1 else 0
            for point in entry.points[start::every]:
                marker(pen, entry.style, *window.at(*point), size=size)

    def _inset(self, pen: Pen, inset: Window, enlarged: float) -> None:
        frame = (inset.x - 27.0, inset.y - 13.0, inset.width + 31.0, inset.height + 25.0)
        pen.box(*frame, width=HAIR, fill=1.0)
        pen.text(
            frame[0] + 3.0,
            frame[1] + 9.0,
            said("knees, {enlarged:.0f} times as large", enlarged=enlarged),
            size=TICK_SIZE,
        )
        _even_grid(pen, inset)
        pen.clip(inset.x, inset.y, inset.width, inset.height)
        if self.limit is not None:
            _limit_corner(pen, inset, self.limit, words="")
        self._curves(pen, inset, every=self._stride(), size=2.4)
        for entry in self.series:
            for knee in entry.knees:
                _knee(pen, inset, knee, entry)
        pen.unclip()
        pen.box(inset.x, inset.y, inset.width, inset.height, width=0.7)

    def _legend(self, pen: Pen, window: Window) -> None:
        """The key stands over the plot, where it can hide no reading."""
        entries = [(entry.label, entry.style) for entry in self.series]
        legend(pen, window.x + 4.0, window.y - 5.0, entries, room=window.width - 8.0)


def _holds(inset: Window, span: Span | None) -> bool:
    """Whether the detail shows every knee with a little air."""
    air = 4.0 / inset.decade
    return span is not None and (
        inset.log_left + air < span.log_left
        and span.log_right + air < inset.log_right
        and inset.log_low + air < span.log_low
        and span.log_high + 3.0 * air < inset.log_high
    )


def _inset_window(main: Window, span: Span | None, share_w: float, share_h: float, enlarged: float) -> Window:
    assert span is not None
    width, height = main.width * share_w - 31.0, main.height * share_h - 25.0
    decade = main.decade * enlarged
    return Window(
        main.x + main.width - width - 8.0,
        main.y + main.height - height - 16.0,
        width,
        height,
        log_left=(span.log_left + span.log_right - width / decade) / 2.0,
        log_low=(span.log_low + span.log_high - height / decade) / 2.0,
        decade=decade,
    )


def _grid(pen: Pen, window: Window) -> None:
    bold_i, bold_v = (
        set(ticks_125(window.log_left, window.log_right)),
        set(ticks_125(window.log_low, window.log_high)),
    )
    for value in lines_fine(window.log_left, window.log_right):
        x = window.at(value, 1.0)[0]
        pen.line(x, window.y, x, window.y + window.height, width=0.5, white=0.6 if value in bold_i else 0.83)
    for value in lines_fine(window.log_low, window.log_high):
        y = window.at(1.0, value)[1]
        pen.line(window.x, y, window.x + window.width, y, width=0.5, white=0.6 if value in bold_v else 0.83)


def _axes(pen: Pen, window: Window) -> None:
    """Figures at 1, 2 and 5; the unit of the current stands at the right end, volts at the upper end."""
    unit = "mA" if window.log_left < -1.0 else "A"
    y = window.y + window.height + 9.0
    end = window.x + window.width
    taken = end - face(BOLD).width(unit, 8.0) - 6.0
    placed: list[Point] = []
    # Powers of ten first: where a long axis crowds its figures, those stay.
    for value in sorted(ticks_125(window.log_left, window.log_right), key=lambda tick: f"{tick:e}"[0]):
        label = figures.text(value, unit)
        x = window.at(value, 1.0)[0]
        half = face(BODY).width(label, TICK_SIZE) / 2.0
        free = all(x - half - 3.0 > right or x + half + 3.0 < left for left, right in placed)
        if free and x + half < taken and x - half > window.x - 4.0:
            placed.append((x - half, x + half))
            pen.text(x, y, label, size=TICK_SIZE, align="middle")
    pen.text(end, y, unit, font=BOLD, size=8.0, align="right")
    for value in ticks_125(window.log_low, window.log_high):
        at = window.at(1.0, value)[1]
        if at > window.y + 12.0:
            pen.text(window.x - 4.0, at + 2.6, figures.text(value, "V"), size=TICK_SIZE, align="right")
    pen.text(window.x - 4.0, window.y + 6.0, "V", font=BOLD, size=8.0, align="right")


def _even_grid(pen: Pen, inset: Window) -> None:
    unit = "mA" if inset.log_left < -1.0 else "A"
    for value in ticks_even(inset.log_left, inset.log_right, at_most=5):
        x = inset.at(value, 1.0)[0]
        pen.line(x, inset.y, x, inset.y + inset.height, width=0.5, white=0.75)
        if inset.x + 6.0 < x < inset.x + inset.width - 6.0:
            pen.text(x, inset.y + inset.height + 8.5, figures.text(value, unit), size=6.5, align="middle")
    for value in ticks_even(inset.log_low, inset.log_high, at_most=5):
        y = inset.at(1.0, value)[1]
        pen.line(inset.x, y, inset.x + inset.width, y, width=0.5, white=0.75)
        if inset.y + 3.0 < y < inset.y + inset.height - 1.0:
            pen.text(inset.x - 3.0, y + 2.3, figures.text(value, "V"), size=6.5, align="right")


def _limit_corner(pen: Pen, window: Window, limit: Point, *, words: str) -> None:
    """The corner of the plate limit, with teeth on the forbidden side: more current at less voltage."""
    x, y = window.at(*limit)
    arm = 26.0
    pen.path([(x + arm, y), (x, y), (x, y + arm)], width=1.2)
    for step in (5.0, 10.0, 15.0, 20.0, 25.0):
        pen.line(x + step, y, x + step - 4.0, y + 4.0, width=0.7)
        pen.line(x, y + step, x + 4.0, y + step - 4.0, width=0.7)
    if words:
        pen.text(x + 7.0, y + 14.5, words, font=BOLD, size=7.0)


def _knee(pen: Pen, inset: Window, knee: KneeMark, entry: Series) -> None:
    """10/50 as its own step to scale, 10 % up and 50 % across; the tangents as a tick with their angle."""
    x, y = inset.at(knee.current_a, knee.voltage_v)
    if knee.definition == "iec":
        x2, y2 = inset.at(knee.current_a * STEP_ACROSS, knee.voltage_v * STEP_UP)
        pen.path([(x, y), (x, y2), (x2, y2)], width=0.9, dashes=STYLES[entry.style])
        if entry.style == 0:
            pen.text(x + 3.0, y2 - 2.5, "10/50", size=6.5)
        return
    angle = 45.0 if knee.definition == "tangent45" else 30.0
    across = math.radians(angle)
    dx, dy = 7.0 * math.sin(across), 7.0 * math.cos(across)
    pen.line(x - dx, y - dy, x + dx, y + dy, width=0.9)
    if entry.style == 0:
        pen.text(x + dx + 1.5, y + dy + 6.0, f"{angle:.0f}°", size=6.5)
