"""Plots of the tests that people would rather look at than read, beside the excitation curve.

They show what stands in the record: derived values and limits of its findings, nothing judged anew.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from app.report.blocks import Block, Heading, Space
from app.report.content import Sheet
from app.report.contents import Columns
from app.report.outline import CoreSet, Member
from app.report.plots.chart import Axis, Chart, Limit, Line
from app.report.plots.scale import Point
from app.report.wording import chosen, quantity_or_plain
from app.words import figures, said
from ctcore.findings import Finding
from ctcore.judgement.burden import CONNECTED
from ctcore.judgement.insulation_time import PAIR, SECONDS
from ctcore.takes import Take

_ABREAST: Final = 2
_AT_75: Final = "r_winding_75degc_ohm"
_AT_20: Final = "insulation_resistance_20degc_ohm"
_ERRORS: Final = (
    ("ratio_error_percent", "Ratio error", Axis("percent", "%")),
    ("phase_displacement_arcmin", "Phase displacement", Axis("arcmin", "min")),
)
_ARC_COUNT: Final = 24


def charts(sheet: Sheet, core_set: CoreSet) -> list[Block]:
    """Every plot that has something to show, two abreast; three single ones side by side."""
    single = [*_resistance(sheet, core_set), *_burden(sheet, core_set), *_growth(sheet, core_set)]
    # Both errors of one burden stand beside each other.
    groups = (single, [*_errors(sheet, core_set)])
    rows = [
        (found[start : start + abreast], abreast)
        for found in groups
        for abreast in (3 if len(found) == 3 else _ABREAST,)
        for start in range(0, len(found), abreast)
    ]
    blocks: list[Block] = (
        [Heading(said("Plots"), said("teeth stand on the side that is not allowed"))] if rows else []
    )
    for row, abreast in rows:
        blocks += [Space(4.0), Columns((*row, *([Space(0.0)] * (abreast - len(row)))), gap=16.0)]
    return blocks


def _resistance(sheet: Sheet, core_set: CoreSet) -> Iterator[Chart]:
    """Winding resistance over turns: the sections of one winding lie on one line from zero."""
    lines, limits = [], []
    for style, member in enumerate(core_set.members):
        turns = {tap.tap_id: tap.ns_over_np_ratio for tap in member.core.taps}
        ohms = _derived(sheet, member, "resistance", _AT_75)
        points = sorted((turns[row], ohm) for row, ohm in ohms.items() if row in turns)
        lines.append(Line(member.label, style, tuple(points)))
        for finding in sheet.outline.findings.get((member.core.core_id, "resistance"), ()):
            if finding.quantity == _AT_75 and finding.limit_high is not None and finding.row in turns:
                at, most = turns[finding.row], finding.limit_high
                limits.append(((0.88 * at, most), (at, most)))
    if max((len(line.points) for line in lines), default=0) > 1:
        edges = [Limit(points, above=True) for points in dict.fromkeys(limits)]
        across, up = Axis("1", said("turns per primary turn")), Axis("ohm", "Ω")
        yield Chart(
            said("Resistance at 75 °C over turns"), across, up, _kept(lines), limits=edges, from_zero=True
        )


def _derived(sheet: Sheet, member: Member, procedure_id: str, quantity_id: str) -> dict[str, float]:
    """The derived value of each row, that of the last take which has one."""
    return {
        entry.row: entry.value
        for take in sheet.outline.takes.get((member.core.core_id, procedure_id), ())
        for entry in sheet.outline.derived.get((member.core.core_id, procedure_id, take.take), ())
        if entry.quantity_id == quantity_id and isinstance(entry.value, float)
    }


def _kept(lines: Sequence[Line]) -> list[Line]:
    return [line for line in lines if line.points]


def _errors(sheet: Sheet, core_set: CoreSet) -> Iterator[Chart]:
    """Both errors over the current, tap by tap and burden by burden, inside the limits of the class."""
    read = [(style, member, _read(sheet, member)) for style, member in enumerate(core_set.members)]
    places = dict.fromkeys((row, burden) for _, _, found in read for row, burden, *_ in found)
    for row, burden in places:
        tap = core_set.first.tap(row)
        where = ", ".join(part for part in (tap.terminals_text if tap else row, burden) if part)
        for quantity_id, name, up in _ERRORS:
            lines, limits = _lines_of(read, row, burden, quantity_id)
            if max((len(line.points) for line in lines), default=0) > 1:
                across = Axis("percent", said("% of rated current"), is_log=True)
                yield Chart(f"{said(name)}, {where}", across, up, lines, limits=limits)


_Read = tuple[str, str, float, Finding]


def _read(sheet: Sheet, member: Member) -> list[_Read]:
    """Row, burden in words, percent of the rated current, and finding of each error that was judged."""
    takes = {take.take: take for take in sheet.outline.takes.get((member.core.core_id, "ratio"), ())}
    found: list[_Read] = []
    for finding in sheet.outline.findings.get((member.core.core_id, "ratio"), ()):
        take = takes.get(finding.take)
        percent = None if take is None else take.row(finding.row).cell("i_percent_rated_percent").number
        if take is not None and percent is not None and percent > 0.0:
            found.append((finding.row, _burden_words(take), percent, finding))
    return found


def _burden_words(take: Take) -> str:
    burden = take.method.cell("burden_in_circuit_va").number
    return "" if burden is None else figures.with_unit(burden, "VA")


def _lines_of(
    read: Sequence[tuple[int, Member, list[_Read]]], row: str, burden: str, quantity_id: str
) -> tuple[list[Line], list[Limit]]:
    lines: list[Line] = []
    low: dict[float, float] = {}
    high: dict[float, float] = {}
    for style, member, found in read:
        here = [
            (percent, finding)
            for at, va, percent, finding in found
            if (at, va, finding.quantity) == (row, burden, quantity_id)
        ]
        points = sorted((percent, one.value) for percent, one in here if isinstance(one.value, float))
        lines.append(Line(member.label, style, tuple(points)))
        low.update({percent: one.limit_low for percent, one in here if one.limit_low is not None})
        high.update({percent: one.limit_high for percent, one in here if one.limit_high is not None})
    edges = [(tuple(sorted(edge.items())), above) for edge, above in ((low, False), (high, True))]
    return _kept(lines), [Limit(points, above=above) for points, above in edges if points]


def _growth(sheet: Sheet, core_set: CoreSet) -> Iterator[Chart]:
    """Insulation over time under one voltage, pair by pair, with the least that is allowed."""
    by_pair: dict[str, list[Line]] = {}
    least: dict[str, float] = {}
    for style, member in enumerate(core_set.members):
        for take in sheet.outline.takes.get((member.core.core_id, "insulation_time"), ()):
            pair = take.method.cell(PAIR).value_text or ""
            derived = sheet.outline.derived.get((member.core.core_id, "insulation_time", take.take), ())
            points = tuple(
                (SECONDS[entry.row], entry.value)
                for entry in derived
                if entry.quantity_id == _AT_20
                and entry.row in SECONDS
                and isinstance(entry.value, float)
                and entry.value > 0.0
            )
            known = by_pair.setdefault(pair, [])
            # The last take of a phase is the one of record.
            known[:] = [line for line in known if line.style != style]
            known.append(Line(member.label, style, points))
            for finding in sheet.outline.findings.get((member.core.core_id, "insulation_time"), ()):
                if finding.take == take.take and finding.limit_low:
                    least[pair] = finding.limit_low
    for pair, lines in by_pair.items():
        seconds = [at for line in lines for at, _ in line.points]
        if len(set(seconds)) > 1:
            title = said(
                "Insulation at 20 °C over time, {chosen}", chosen=chosen(pair, quantity_or_plain(PAIR))
            )
            ends = ((min(seconds), least.get(pair, 0.0)), (max(seconds), least.get(pair, 0.0)))
            limits = [Limit(ends, above=False)] if pair in least else []
            across, up = Axis("s", "s", is_log=True), Axis("Mohm", "MΩ", is_log=True)
            yield Chart(title, across, up, _kept(lines), limits=limits)


def _burden(sheet: Sheet, core_set: CoreSet) -> Iterator[Chart]:
    """R, X and Z of the connected circuit as a triangle, and the arcs between which the class holds."""
    lines: list[Line] = []
    limits: dict[tuple[float, bool], None] = {}
    for style, member in enumerate(core_set.members):
        r_ohm = _derived(sheet, member, "burden", "r_burden_ohm").get(CONNECTED)
        x_ohm = _derived(sheet, member, "burden", "x_burden_ohm").get(CONNECTED)
        if r_ohm is not None and x_ohm is not None:
            corners = ((0.0, 0.0), (r_ohm, 0.0), (r_ohm, x_ohm), (0.0, 0.0))
            lines.append(Line(member.label, style, corners))
            limits.update(dict.fromkeys(_edges(sheet, member)))
    if lines:
        arcs = [Limit(_arc(radius), above=above) for radius, above in limits]
        across, up = Axis("ohm", "R, Ω"), Axis("ohm", "X, Ω")
        title = said("Connected burden: R, X and Z")
        yield Chart(title, across, up, lines, limits=arcs, from_zero=True, square=True)


def _edges(sheet: Sheet, member: Member) -> Iterator[tuple[float, bool]]:
    """Radius in ohm of the least and the greatest burden judged by, and whether it is the greatest."""
    core = member.core
    tap = core.tap(core.service_tap_id or "") or (core.full_tap if core.taps else None)
    for finding in sheet.outline.findings.get((core.core_id, "burden"), ()):
        if finding.quantity != "burden_connected_va" or tap is None:
            continue
        for limit, above in ((finding.limit_low, False), (finding.limit_high, True)):
            if limit:
                yield limit / tap.i_secondary_rated_a**2, above


def _arc(radius: float) -> tuple[Point, ...]:
    """A quarter of a circle from the axis of X down to that of R."""
    turns = (math.pi / 2.0 * step / _ARC_COUNT for step in range(_ARC_COUNT, -1, -1))
    return tuple((radius * math.cos(at), radius * math.sin(at)) for at in turns)
