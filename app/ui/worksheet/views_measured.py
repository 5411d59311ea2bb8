"""Views of tests that people would rather look at than read: growth over time, burden, injected currents."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Final

from app.ui.plots.axes import Axis
from app.ui.plots.chart import ChartContent, LimitLine, Series
from app.ui.texts import text
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.plot_content import phase_index
from app.ui.worksheet.sheet import Sheet
from app.words import figures, quantity
from app.words.figures import shown
from ctcore.judgement import burden, injection, insulation_time
from ctcore.procedure import Scene
from ctcore.takes import Take

_SECONDS: Final = Axis(unit="s", words="s")
_INSULATION: Final = Axis(unit="Mohm", words="MΩ")
_R: Final = Axis(unit="ohm", words="R, Ω", is_log=False)
_X: Final = Axis(unit="ohm", words="X, Ω", is_log=False)
_ALONG: Final = Axis(unit="A", words="A", is_log=False)
_AHEAD: Final = Axis(unit="A", words="A", is_log=False)
_RATIOS: Final = ("absorption_ratio", "polarisation_index_ratio")
_ROUND_COUNT: Final = 73
_INK: Final = -1


# Insulation over time


def growth(sheet: Sheet, _curves: CurveStore) -> ChartContent:
    """Insulation at 20 °C over time, the sister phases of the same pair beside it, and its limit."""
    pair = sheet.take.method.cell(insulation_time.PAIR).value_text
    found = [
        (sister.phase_text, sister.scene, sister.take, False)
        for sister in sheet.sisters
        if sister.take is not None and sister.take.method.cell(insulation_time.PAIR).value_text == pair
    ]
    found.append((sheet.place.ct.phase_text, sheet.scene, sheet.take, True))
    series = [_over_time(sheet, *one) for one in found]
    hand = insulation_time.growth(sheet.scene, sheet.take)
    drawn = tuple(one for one in series if one.x)
    seconds = [at for one in drawn for at in one.x]
    limits: tuple[LimitLine, ...] = ()
    if hand.limit_ohm is not None and seconds:
        ends = (min(seconds), max(*seconds, 60.0))
        limits = (LimitLine(ends, (hand.limit_ohm,) * 2, above=False),)
    return ChartContent(
        title=text("view.growth.title", pair=_pair_words(pair)),
        axis_x=_SECONDS,
        axis_y=_INSULATION,
        series=drawn,
        limits=limits,
        left_out_count=hand.left_out_count,
        empty_words=text("view.empty"),
    )


def _over_time(sheet: Sheet, phase_text: str, scene: Scene, take: Take, in_hand: bool) -> Series:
    points = insulation_time.growth(scene, take).points
    return Series(
        words="  ".join(filter(None, (phase_text, *_ratio_words(sheet, scene.core.core_id, take)))),
        phase_index=phase_index(sheet.view.job, phase_text),
        x=tuple(seconds for _, seconds, _ in points),
        y=tuple(ohm for _, _, ohm in points),
        rows=tuple(row for row, _, _ in points),
        in_hand=in_hand,
    )


def _ratio_words(sheet: Sheet, core_id: str, take: Take) -> list[str]:
    """Both ratios of a take as the findings have them."""
    return [
        f"{quantity(finding.quantity).heading} {shown(finding.quantity, finding.value)}"
        for finding in sheet.view.findings.get(core_id, ())
        if (finding.procedure, finding.take) == (take.procedure_id, take.take)
        and finding.quantity in _RATIOS
        and isinstance(finding.value, float)
    ]


def _pair_words(pair: str | None) -> str:
    words = (choice.words for choice in quantity(insulation_time.PAIR).choices if choice.value == pair)
    return next(words, text("view.growth.no_pair"))


# Burden triangle


def triangle(sheet: Sheet, _curves: CurveStore) -> ChartContent:
    """R, X and Z of every circuit measured, and the arcs between which the class holds."""
    series = [
        one
        for sister in sheet.sisters
        if sister.take is not None
        for one in _triangles(sheet, sister.phase_text, sister.scene, sister.take, in_hand=False)
        if one.rows[0] == burden.CONNECTED
    ]
    series += _triangles(sheet, sheet.place.ct.phase_text, sheet.scene, sheet.take, in_hand=True)
    rated = burden.rated_burdens(sheet.scene)
    measured = sum(1 for row in sheet.take.rows if not row.struck)
    return ChartContent(
        title=text("view.triangle.title", rated=_rated_words(rated)) if rated
        else text("view.triangle.plain"),
        axis_x=_R,
        axis_y=_X,
        series=tuple(series),
        limits=tuple(_arcs(rated)) if series else (),
        from_zero=True,
        square=True,
        left_out_count=measured - sum(1 for one in series if one.in_hand),
        empty_words=text("view.triangle.empty"),
    )  # fmt: skip


def _triangles(sheet: Sheet, phase_text: str, scene: Scene, take: Take, *, in_hand: bool) -> list[Series]:
    """A closed triangle for each circuit; the leads alone in ink and open, so that both are told apart."""
    phase = phase_index(sheet.view.job, phase_text)
    return [
        Series(
            words=text(
                f"view.triangle.{one.row}", phase=phase_text,
                z=figures.with_unit(one.z_ohm, "ohm", significant=3),
                va=figures.with_unit(one.output_va, "VA", significant=3),
            ),
            phase_index=phase if one.row == burden.CONNECTED else _INK,
            x=(one.r_ohm, 0.0, one.r_ohm, one.r_ohm),
            y=(one.x_ohm, 0.0, 0.0, one.x_ohm),
            rows=(one.row, "", "", one.row),
            in_hand=in_hand,
            marks="last",
        )
        for one in burden.triangles(scene, take)
    ]  # fmt: skip


def _arcs(rated: Iterable[burden.RatedBurden]) -> Iterable[LimitLine]:
    for one in rated:
        yield LimitLine(*_round(one.high_ohm, 90.0), above=True, round_origin=True)
        if one.low_ohm is not None:
            yield LimitLine(*_round(one.low_ohm, 90.0), above=False, round_origin=True)


def _rated_words(rated: Iterable[burden.RatedBurden]) -> str:
    said = (
        f"{one.designation} {figures.with_unit(one.high_ohm, 'ohm', significant=3)}, "
        f"{figures.with_unit(one.output_va, 'VA', significant=3)}"
        for one in rated
    )
    return "; ".join(said)


# Primary injection


def phasors(sheet: Sheet, _curves: CurveStore) -> ChartContent:
    """Every secondary current as each device read it, against the current injected; the residual of two
    phases, which is to be none. That of one phase is the phase current itself and is not drawn."""
    every = injection.phasors(sheet.scene)
    found = [one for one in every if (one.what, one.row) != ("residual", injection.ONE)]
    devices = list(dict.fromkeys((one.device_text, one.row) for one in found))
    series = [_phasor(sheet, one, devices.index((one.device_text, one.row))) for one in found]
    null_a = injection.null_a(found)
    null = () if null_a is None else (LimitLine(*_round(null_a, 360.0), above=True, toothed=False),)
    title = text("view.phasors.plain")
    if null_a is not None:
        title = text("view.phasors.title", null=figures.with_unit(null_a, "A", significant=2))
    return ChartContent(
        title=title,
        axis_x=_ALONG,
        axis_y=_AHEAD,
        series=tuple(series),
        limits=null,
        from_zero=True,
        square=True,
        empty_words=text("view.empty"),
    )


def _phasor(sheet: Sheet, one: injection.Phasor, index: int) -> Series:
    """A line from the origin to its end; without an angle the circle that its end lies on."""
    along, ahead = one.along_a, one.ahead_a
    known = along is not None and ahead is not None
    x, y = ((0.0, along), (0.0, ahead)) if along is not None and ahead is not None else _round(one.size_a)
    is_phase, here = one.what == "phase", one.take == sheet.take_number
    return Series(
        words=text(
            f"view.phasors.{one.what}.{one.row}",
            device=one.device_text or text("view.phasors.no_device"),
            size=figures.with_unit(one.size_a, "A", significant=3),
            angle=_angle_words(one.angle_deg),
        ),
        phase_index=_INK - index,
        x=x,
        y=y,
        rows=("", one.row) if known and here and is_phase else (),
        in_hand=here and is_phase,
        marks="last" if known else "none",
    )  # fmt: skip


def _angle_words(angle_deg: float | None) -> str:
    if angle_deg is None:
        return text("view.phasors.no_angle")
    return figures.signed(angle_deg, "deg", decimals=1) + "°"


def _round(radius: float, degrees: float = 360.0) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Points of an arc around the origin that begins on the axis to the right."""
    turns = [math.radians(degrees) * index / (_ROUND_COUNT - 1) for index in range(_ROUND_COUNT)]
    return tuple(radius * math.cos(at) for at in turns), tuple(radius * math.sin(at) for at in turns)
