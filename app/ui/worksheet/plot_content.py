"""What the excitation plot shows for the page's sheet: curves, knees, plate limit and the next volts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import lru_cache, partial

import numpy as np

from app.ui.plots.axes import AMPERE_TURNS, VOLTS_PER_TURN
from app.ui.plots.content import KNEES, CurveKind, CurveLine, KneeMark, Pairs, PlotContent
from app.ui.plots.logscale import drawable
from app.ui.texts import text
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.plot_duty import duty_points, envelope_edge
from app.ui.worksheet.sheet import Sheet
from ctcore.errors import BadInput
from ctcore.job import Job, ReferenceCurve, Tap
from ctcore.judge import takes_of_record
from ctcore.judgement.excitation_curve import CurveView, Point
from ctcore.judgement.plate import tap_fed
from ctcore.nameplate import parse_class
from ctcore.procedure import Scene
from ctcore.takes import Take

_LINE_POINTS_COUNT = 61


def plot_content(sheet: Sheet, curves: CurveStore) -> PlotContent:
    """The content of the plot beside the table."""
    lines = [
        curves.kept(("reference",), (entry,), partial(_reference_line, entry)) for entry in _references(sheet)
    ]
    lines += [
        _kept_line(curves, sheet.scene, take, "previous", text("plot.take", take=take.take))
        for take in _earlier(sheet)
    ]
    for sister in sheet.sisters:
        if sister.take is not None:
            words = text("plot.sister", phase=sister.phase_text, at=_taken_at(sister.take))
            lines.append(_kept_line(curves, sister.scene, sister.take, "sister", words))
    words = text("plot.hand", phase=sheet.place.ct.phase_text)
    lines.append(_kept_line(curves, sheet.scene, sheet.take, "hand", words))
    hand = curves.view(sheet.scene, sheet.take)
    left_out = sum(drawable(*_columns(points))[2] for points in (hand.kept, hand.reversed))
    return PlotContent(
        curves=tuple(lines),
        plate_limit=plate_limit(sheet.core.class_text),
        duty=duty_points(sheet),
        envelope=envelope_edge(sheet),
        next_voltage_v=hand.next_voltage_v,
        left_out_count=left_out,
    )


def _earlier(sheet: Sheet) -> list[Take]:
    """Takes before the one on the page that were fed at the same terminals."""
    takes = sheet.view.takes.get((sheet.core.core_id, sheet.procedure.procedure_id), ())
    tap = sheet.take.method.cell("tap_id").value_text
    return [
        take
        for take in takes
        if take.take < sheet.take_number and take.method.cell("tap_id").value_text == tap
    ]


def _kept_line(curves: CurveStore, scene: Scene, take: Take, kind: CurveKind, words: str) -> CurveLine:
    """The line of a take: the same object as long as its curve is the same."""
    view = curves.view(scene, take)
    name = ("line", kind, words, scene.ct.phase_text, scene.job.phase_names)
    return curves.kept(name, (view,), partial(_line, scene, view, kind, words))


@lru_cache(maxsize=64)
def plate_limit(class_text: str) -> tuple[float, float] | None:
    """The plate's corner (A, V): at most this current at this voltage; None where the plate states none."""
    try:
        stated = parse_class(class_text)
    except BadInput:
        return None
    if stated.ek_v is None or stated.ie_a is None:
        return None
    return stated.ie_a, stated.ek_v * (stated.ie_at_ek_percent or 100.0) / 100.0


def _line(scene: Scene, view: CurveView, kind: CurveKind, words: str) -> CurveLine:
    index = phase_index(scene.job, scene.ct.phase_text)
    knees = []
    for name, _ in KNEES:
        knee = view.knees.get(name)
        if knee is not None and not isinstance(knee, str):
            spread = None if knee.u_voltage_v is None else 2.0 * knee.u_voltage_v
            knees.append(KneeMark(name, knee.voltage_v, knee.current_a, spread))
    return CurveLine(
        key=scene.core.core_id,
        kind=kind,
        words=words,
        phase_text=scene.ct.phase_text,
        phase_index=index,
        points=_pairs(view.kept),
        line=_through(view),
        struck=_pairs(view.struck),
        doubtful=_pairs(view.reversed),
        knees=tuple(knees),
    )


def phase_index(job: Job, phase_text: str) -> int:
    """The place of a phase in the job's order; -1 for a neutral."""
    return job.phase_names.index(phase_text) if phase_text in job.phase_names else -1


def _columns(points: Sequence[Point]) -> tuple[list[float], list[float]]:
    return [point.voltage_v for point in points], [point.current_a for point in points]


def _pairs(points: Sequence[Point]) -> Pairs:
    good = [point for point in points if point.voltage_v > 0.0 and point.current_a > 0.0]
    volts, amperes = _columns(good)
    return Pairs(tuple(volts), tuple(amperes), tuple(point.row for point in good))


def _through(view: CurveView) -> Pairs:
    """The line to draw: the curve itself where there is one, else straight from point to point."""
    if view.curve is None:
        return _pairs(view.kept)
    first, last = view.curve.voltage_first_v, view.curve.voltage_last_v
    volts = np.geomspace(first, last, _LINE_POINTS_COUNT)
    volts[0], volts[-1] = first, last
    return Pairs(tuple(volts.tolist()), tuple(view.curve.current_a(volts).tolist()))


def _references(sheet: Sheet) -> list[ReferenceCurve]:
    tap = sheet.take.method.cell("tap_id").value_text
    found = [entry for entry in sheet.view.job.references.curves if entry.core_id == sheet.core.core_id]
    return [entry for entry in found if tap is None or entry.tap_id in ("", tap)]


def _reference_line(entry: ReferenceCurve) -> CurveLine:
    v, i, _ = drawable([p.voltage_v for p in entry.points], [p.current_a for p in entry.points])
    pairs = Pairs(tuple(v.tolist()), tuple(i.tolist()))
    return CurveLine(
        key=f"{entry.kind} {entry.source_text}",
        kind=entry.kind,
        words=entry.source_text or entry.kind,
        points=pairs,
        line=pairs,
    )


def _taken_at(take: Take) -> str:
    """When the last row of a take was read: the time of its last reading."""
    entered = [cell.readings[-1] for row in take.rows for cell in row.cells.values() if cell.readings]
    if not entered:
        return ""
    at, offset = max((entry.at_utc, entry.utc_offset_minutes) for entry in entered)
    return (datetime.fromisoformat(at) + timedelta(minutes=offset)).strftime("%H:%M")


def per_turn_content(sheet: Sheet, curves: CurveStore) -> PlotContent:
    """All taps of the core as volts per turn over ampere-turns, where they fall on one line."""
    taken: list[tuple[Take, CurveView, Tap]] = []
    for take in takes_of_record(
        sheet.view.takes.get((sheet.core.core_id, "excitation"), ()), sheet.procedure
    ):
        view, tap = curves.view(sheet.scene, take), tap_fed(sheet.core, take)
        if view.curve is not None and tap is not None:
            taken.append((take, view, tap))
    lines = [_turn_line(sheet, index, *entry) for index, entry in enumerate(taken)]
    lines.sort(key=lambda line: line.kind == "hand")
    return PlotContent(curves=tuple(lines), axis_x=AMPERE_TURNS, axis_y=VOLTS_PER_TURN, has_knees=False)


def _turn_line(sheet: Sheet, index: int, take: Take, view: CurveView, tap: Tap) -> CurveLine:
    turns = tap.ns_over_np_ratio
    through, kept = _through(view), _pairs(view.kept)
    hand = take.take == sheet.take_number
    return CurveLine(
        key=tap.tap_id,
        kind="hand" if hand else "sister",
        words=text("plot.tap", terminals=tap.terminals_text, take=take.take),
        # Taps are no phases: ink, each with its own line and marker.
        phase_index=-1 - index,
        points=_of_turns(kept, turns),
        line=_of_turns(through, turns),
    )


def _of_turns(pairs: Pairs, turns_count: float) -> Pairs:
    return Pairs(
        tuple(volts / turns_count for volts in pairs.voltage_v),
        tuple(amperes * turns_count for amperes in pairs.current_a),
        pairs.rows,
    )
