"""One core over the years, and two curves side by side: compared where alike, or refused with the reason."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from ctcore.change import Change, change
from ctcore.curve import Comparison, Curve, TakenAs, compare
from ctcore.curve.comparison import inside, refusals
from ctcore.errors import BadInput
from ctcore.judgement.excitation_curve import u_current_at

if TYPE_CHECKING:
    from app.desk.archive.of_record import RecordsInHand
    from app.jobstore.archive import Archive, KeptCurve, KeptValue

# What is followed over the years, each already brought to one condition by the core.
FOLLOWED: Final = (
    "insulation_resistance_20degc_ohm",
    "r_winding_75degc_ohm",
    "v_knee_iec_v",
    "v_knee_tangent45_v",
    "v_knee_tangent30_v",
    "burden_connected_va",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendPoint:
    """One test; `change` is the step from the one before, None at the first or where that has no number."""

    tested_on: str
    number_text: str
    record_digest: str
    value: float | None
    value_text: str
    u_expanded: float | None
    verdict: str
    change: Change | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """One quantity of one core on one tap or between two parts, oldest first.

    `whole` is the change from the first to the last test with a number.
    """

    quantity_id: str
    procedure_id: str
    subject_text: str
    row: str
    points: tuple[TrendPoint, ...]
    whole: Change | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentAt:
    """The exciting current at one voltage at one test; None where the curve does not reach there.

    `u_expanded` is in A with k = 2, None where the record states no specification of its meters; `change` is
    the step from the test before that has a number.
    """

    tested_on: str
    number_text: str
    record_digest: str
    current_a: float | None
    u_expanded: float | None
    change: Change | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentTrend:
    """The exciting current at one voltage over the years.

    `left_out` says which tests do not compare, and why.
    """

    voltage_v: float
    points: tuple[CurrentAt, ...]
    left_out: tuple[str, ...]


def trends(archive: Archive, core_no: int, quantity_ids: Sequence[str] = FOLLOWED) -> list[Trend]:
    """What is followed of a core, a trend for each place where it was found."""
    found: dict[tuple[str, str, str, str], list[KeptValue]] = {}
    for kept in archive.values(core_no, *quantity_ids):
        key = (kept.quantity_id, kept.procedure_id, kept.subject_text, kept.row)
        found.setdefault(key, []).append(kept)
    order = {quantity_id: place for place, quantity_id in enumerate(quantity_ids)}
    keys = sorted(found, key=lambda key: (order[key[0]], key))
    return [_trend(key, found[key]) for key in keys]


def currents_at(
    archive: Archive, core_no: int, voltages_v: Sequence[float], records: RecordsInHand
) -> list[CurrentTrend]:
    """The exciting current at fixed voltages, of the curves that were taken as the last one was."""
    curves = archive.curves(core_no)
    if not curves:
        return []
    last = curves[-1]
    alike: list[tuple[KeptCurve, Curve]] = []
    left_out: list[str] = []
    for kept in curves:
        against = refusals(taken_as(kept), taken_as(last))
        drawn = curve_of(kept)
        if against or isinstance(drawn, str):
            reason = drawn if isinstance(drawn, str) else "; ".join(against)
            left_out.append(f"{kept.tested_on}, number {kept.number_text}: {reason}")
        else:
            alike.append((kept, drawn))
    return [
        CurrentTrend(
            voltage_v=voltage, points=tuple(_currents(alike, voltage, records)), left_out=tuple(left_out)
        )
        for voltage in voltages_v
    ]


def beside(one: KeptCurve, other: KeptCurve) -> Comparison:
    """Two curves held against each other, or the reasons why they are not to be compared."""
    mine, theirs = curve_of(one), curve_of(other)
    reasons = tuple(drawn for drawn in (mine, theirs) if isinstance(drawn, str))
    if isinstance(mine, str) or isinstance(theirs, str):
        return Comparison(reasons, ())
    return compare(mine, theirs, taken_as(one), taken_as(other))


def taken_as(kept: KeptCurve) -> TakenAs:
    """How a curve was taken, as far as it was said."""
    return TakenAs(
        kept.voltage_response or None,
        kept.current_response or None,
        kept.frequency_hz,
        kept.terminals_text or None,
    )


def curve_of(kept: KeptCurve) -> Curve | str:
    """The curve, or the reason why none can be drawn through the readings."""
    try:
        return Curve(kept.voltage_v, kept.current_a)
    except BadInput as problem:
        return f"no curve can be drawn: {problem.reason}"


def _trend(key: tuple[str, str, str, str], kept: Sequence[KeptValue]) -> Trend:
    points: list[TrendPoint] = []
    before: KeptValue | None = None
    for one in kept:
        points.append(
            TrendPoint(
                tested_on=one.tested_on,
                number_text=one.number_text,
                record_digest=one.record_digest,
                value=one.value,
                value_text=one.value_text,
                u_expanded=one.u_expanded,
                verdict=one.verdict,
                change=_change(before, one),
            )
        )
        before = one if one.value is not None else before
    numbers = [one for one in kept if one.value is not None]
    quantity_id, procedure_id, subject_text, row = key
    return Trend(
        quantity_id=quantity_id,
        procedure_id=procedure_id,
        subject_text=subject_text,
        row=row,
        points=tuple(points),
        whole=_change(numbers[0], numbers[-1]) if len(numbers) > 1 else None,
    )


def _currents(
    alike: Sequence[tuple[KeptCurve, Curve]], voltage_v: float, records: RecordsInHand
) -> Iterator[CurrentAt]:
    before: tuple[float, float | None] | None = None
    for kept, drawn in alike:
        current = inside(drawn.current_a, voltage_v)
        spread, step = None, None
        if current is not None:
            spread = _spread(records, kept, voltage_v, current)
            if before is not None:
                step = change(before[0], current, u_earlier=before[1], u_later=spread)
            before = (current, spread)
        yield CurrentAt(
            tested_on=kept.tested_on,
            number_text=kept.number_text,
            record_digest=kept.record_digest,
            current_a=current,
            u_expanded=spread,
            change=step,
        )


def _spread(records: RecordsInHand, kept: KeptCurve, voltage_v: float, current_a: float) -> float | None:
    """The expanded uncertainty of a current at a voltage as it was read, by the meters of that test."""
    view = records.view(kept)
    # Assumption: the curve of the record stands at rated frequency, the one of the archive as it was read.
    return None if view is None else u_current_at(view, voltage_v * view.frequency_factor, current_a)


def _change(before: KeptValue | None, now: KeptValue) -> Change | None:
    if before is None or before.value is None or now.value is None:
        return None
    return change(before.value, now.value, u_earlier=before.u_expanded, u_later=now.u_expanded)
