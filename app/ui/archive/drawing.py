"""What is drawn of a core of the archive: a chart over the years, and its curve beside the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

import numpy as np

from app.desk.archive.trending import curve_of
from app.ui.models.filed import answer_words, curve_words
from app.ui.plots.axes import Axis
from app.ui.plots.chart import ChartContent, Series
from app.ui.plots.content import CurveKind, CurveLine, Pairs, PlotContent
from app.ui.plots.logscale import drawable
from app.ui.texts import text
from app.words import figures

if TYPE_CHECKING:
    from app.desk.archive.over_years import CoreOverYears, YearLine
    from app.jobstore.archive import KeptCurve

_LINE_POINTS_COUNT: Final = 61
# Half the width of the cap of an uncertainty bar, as a part of the time shown.
_CAP: Final = 0.012


@dataclass(frozen=True, slots=True, kw_only=True)
class YearAxis(Axis):
    """Years counted from the first one: only whole ones have a figure, and it has no groups of three."""

    first: int = 0

    def figure(self, base_value: float) -> str:
        """The year; nothing between two."""
        year = base_value + self.first
        return f"{year:.0f}" if abs(year - round(year)) < 1e-6 else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseAxis(Axis):
    """Values that lie close to each other: as many digits as tell them apart."""

    def figure(self, base_value: float) -> str:
        """The figure with five digits at most, without zeros at its end."""
        return figures.trimmed(base_value, self.unit, significant=5)


def years_content(title: str, lines: Sequence[YearLine]) -> ChartContent:
    """The values of one thing over the years, each with the bar of its expanded uncertainty."""
    unit = lines[-1].unit if lines else "1"
    at = [(_year(one.tested_on), one) for one in lines if one.value is not None]
    first = int(min((x for x, _ in at if x is not None), default=0.0))
    points = [(x - first, float(one.value or 0.0), one) for x, one in at if x is not None]
    cap = _CAP * max([1.0, *(x for x, _, _ in points)])
    bars = tuple(
        _bar(x, value, one.u_expanded, cap, text("years.bar") if number == 0 else "")
        for number, (x, value, one) in enumerate(pair for pair in points if pair[2].u_expanded is not None)
    )
    joined = Series(
        words=text("years.values"),
        phase_index=-1,
        x=tuple(x for x, _, _ in points),
        y=tuple(value for _, value, _ in points),
        in_hand=True,
    )
    return ChartContent(
        title=title,
        axis_x=YearAxis(unit="1", words=text("years.axis"), is_log=False, first=first),
        axis_y=CloseAxis(unit=unit or "1", words=figures.symbol(unit) if unit else "", is_log=False),
        series=(*bars, joined),
        left_out_count=len(lines) - len(points),
        empty_words=text("years.empty"),
    )


def spoken(lines: Sequence[YearLine]) -> str:
    """The chart in words, for who does not see it."""
    return "; ".join(f"{one.tested_on}: {one.shown_text}, {answer_words(one)}" for one in lines)


def curves_content(core: CoreOverYears) -> PlotContent:
    """The core's own curve and those beside it; what is not to be compared is drawn and says so below."""
    if core.own is None:
        return PlotContent(has_knees=False)
    phases = sorted(
        {core.own.phase_text, *(one.curve.phase_text for one in core.besides if one.kind == "sister")}
    )
    lines = [
        line_of(
            one.curve,
            one.kind,
            f"{text(f'beside.{one.kind}')} {curve_words(one)}",
            phases.index(one.curve.phase_text) if one.kind == "sister" else -1,
        )
        for one in core.besides
    ]
    own_words = text("beside.own", number=core.own.number_text, day=core.own.tested_on)
    lines.append(line_of(core.own, "hand", own_words, phases.index(core.own.phase_text)))
    return PlotContent(curves=tuple(lines), has_knees=False)


def _bar(x: float, value: float, u_expanded: float | None, cap: float, words: str) -> Series:
    spread = u_expanded or 0.0
    low, high = value - spread, value + spread
    return Series(
        words=words,
        phase_index=-1,
        x=(x - cap, x + cap, x, x, x - cap, x + cap),
        y=(high, high, high, low, low, low),
        marks="none",
    )


def line_of(kept: KeptCurve, kind: CurveKind, words: str, phase_index: int = -1) -> CurveLine:
    """A curve of the archive as it is drawn."""
    volts, amperes, _ = drawable(kept.voltage_v.tolist(), kept.current_a.tolist())
    points = Pairs(tuple(volts.tolist()), tuple(amperes.tolist()))
    return CurveLine(
        key=f"{kind} {kept.core_no} {kept.number_text} {kept.tested_on}",
        kind=kind,
        words=words,
        phase_text=kept.phase_text,
        phase_index=phase_index,
        points=points,
        line=_through(kept, points),
    )


def _through(kept: KeptCurve, points: Pairs) -> Pairs:
    drawn = curve_of(kept)
    if isinstance(drawn, str) or drawn.voltage_first_v <= 0.0:
        return points
    volts = np.geomspace(drawn.voltage_first_v, drawn.voltage_last_v, _LINE_POINTS_COUNT)
    volts[0], volts[-1] = drawn.voltage_first_v, drawn.voltage_last_v
    return Pairs(tuple(volts.tolist()), tuple(drawn.current_a(volts).tolist()))


def _year(day: str) -> float | None:
    """A day as years and their parts, for the axis."""
    try:
        at = date.fromisoformat(day)
    except ValueError:
        return None
    first = date(at.year, 1, 1)
    return at.year + (at - first).days / 365.25
