"""One core of the archive as a page shows it: over the years, and beside what it is compared with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from app.desk.archive.of_record import RecordsInHand
from app.desk.archive.trending import CurrentTrend, Trend, beside, currents_at, trends
from app.jobstore.archive import KeptCurve
from app.words import figures, quantity_in_words, text
from ctcore.change import Change
from ctcore.job import Job, ReferenceCurve, places
from ctcore.quantities import QUANTITIES

if TYPE_CHECKING:
    from app.jobstore.archive import Archive, CoreHit, FiledLine

Kind = Literal["previous", "sister", "certificate"]
# Practice: the current is followed at a quarter, half and the whole of the knee of the first test.
KNEE_PARTS: Final = (0.25, 0.5, 1.0)
CURRENT: Final = "i_excitation_a"
_DIGITS: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A curve that the core's own is held against; the reasons where the two are not to be compared.

    `largest_percent` is the largest difference in current at equal voltage.
    """

    kind: Kind
    curve: KeptCurve
    refusals: tuple[str, ...]
    largest_percent: float | None
    at_voltage_v: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class YearLine:
    """A value at one test; `change` is the step from the test before, `answer` what that step shows."""

    group: str
    quantity_id: str
    tested_on: str
    number_text: str
    record_digest: str
    value: float | None
    value_text: str
    u_expanded: float | None
    unit: str
    change: Change | None

    @property
    def shown_text(self) -> str:
        """The value with its unit and expanded uncertainty."""
        if self.value is None:
            return self.value_text or "–"
        told = figures.with_unit(self.value, self.unit, significant=_DIGITS)
        if self.u_expanded is None:
            return told
        return f"{told} ± {figures.text(self.u_expanded, self.unit, significant=2)}"

    @property
    def change_text(self) -> str:
        """The step in percent and the ratio that it was judged by."""
        if self.change is None:
            return ""
        parts = []
        if self.change.percent is not None:
            parts.append(f"{figures.signed(self.change.percent, 'percent', decimals=2)} %")
        if self.change.en_ratio is not None:
            parts.append(f"En {figures.text(abs(self.change.en_ratio), '1', decimals=2)}")
        return ", ".join(parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreOverYears:
    """All that the archive knows of one core: `groups` in order, each with its lines, oldest first."""

    line: FiledLine
    core: CoreHit
    lines: tuple[YearLine, ...]
    own: KeptCurve | None
    besides: tuple[Beside, ...]
    left_out: tuple[str, ...]

    @property
    def groups(self) -> tuple[str, ...]:
        """What is followed, in order."""
        return tuple(dict.fromkeys(one.group for one in self.lines))

    def of_group(self, group: str) -> tuple[YearLine, ...]:
        """The lines of one of them."""
        return tuple(one for one in self.lines if one.group == group)


def core_over_years(archive: Archive, line: FiledLine, core: CoreHit) -> CoreOverYears:
    """One core of a record over the years, and its curve beside the others."""
    curves, records = archive.curves(core.core_no), RecordsInHand(archive)
    own = next((one for one in reversed(curves) if one.leaf_no == line.leaf_no), None)
    followed = trends(archive, core.core_no)
    currents = currents_at(archive, core.core_no, _voltages(followed, curves), records)
    return CoreOverYears(
        line=line,
        core=core,
        lines=(*_lines(followed), *_current_lines(currents)),
        own=own,
        besides=() if own is None else tuple(_besides(archive, line, core, own, curves, records)),
        left_out=currents[0].left_out if currents else (),
    )


def unit_of(quantity_id: str) -> str:
    """The unit in which a quantity is shown; empty where it is not known."""
    return next((one.unit for one in QUANTITIES if one.quantity_id == quantity_id), "")


def _name_of(quantity_id: str) -> str:
    known = next((one for one in QUANTITIES if one.quantity_id == quantity_id), None)
    return quantity_id if known is None else quantity_in_words(known).name


def _lines(followed: Sequence[Trend]) -> Iterator[YearLine]:
    for trend in followed:
        place = ", ".join(dict.fromkeys(part for part in (trend.subject_text, trend.row) if part))
        name = _name_of(trend.quantity_id)
        for point in trend.points:
            yield YearLine(
                group=f"{name}, {place}".replace("_", " ") if place else name,
                quantity_id=trend.quantity_id,
                tested_on=point.tested_on,
                number_text=point.number_text,
                record_digest=point.record_digest,
                value=point.value,
                value_text=point.value_text,
                u_expanded=point.u_expanded,
                unit=unit_of(trend.quantity_id),
                change=point.change,
            )


def _current_lines(currents: Sequence[CurrentTrend]) -> Iterator[YearLine]:
    for trend in currents:
        volts = figures.with_unit(trend.voltage_v, "V", significant=3)
        for point in trend.points:
            yield YearLine(
                group=text("years.current_at", volts=volts),
                quantity_id=CURRENT,
                tested_on=point.tested_on,
                number_text=point.number_text,
                record_digest=point.record_digest,
                value=point.current_a,
                value_text="" if point.current_a is not None else text("years.beyond"),
                u_expanded=point.u_expanded,
                unit="mA",
                change=point.change,
            )


def _voltages(followed: Sequence[Trend], curves: Sequence[KeptCurve]) -> tuple[float, ...]:
    """Parts of the first knee; without a knee, of the highest voltage that every curve reaches."""
    knees = [
        point.value
        for trend in followed
        if trend.quantity_id == "v_knee_iec_v"
        for point in trend.points
        if point.value
    ]
    if not knees and not curves:
        return ()
    whole = knees[0] if knees else min(float(np.max(one.voltage_v)) for one in curves)
    return tuple(float(f"{part * whole:.3g}") for part in KNEE_PARTS)


def _besides(
    archive: Archive,
    line: FiledLine,
    core: CoreHit,
    own: KeptCurve,
    curves: Sequence[KeptCurve],
    records: RecordsInHand,
) -> Iterator[Beside]:
    earlier = [
        one
        for one in curves
        if one.leaf_no != line.leaf_no and (one.tested_on, one.leaf_no) < (line.tested_on, line.leaf_no)
    ]
    same_tap = [one for one in earlier if one.terminals_text == own.terminals_text]
    for one in (same_tap or earlier)[-1:]:
        yield _held(own, one, "previous")
    for one in archive.sister_curves(core.core_no):
        if one.terminals_text == own.terminals_text:
            yield _held(own, one, "sister")
    for one in _factory(records.job(line.record_digest), core, own):
        yield _held(own, one, "certificate")


def _held(own: KeptCurve, other: KeptCurve, kind: Kind) -> Beside:
    found = beside(own, other)
    most = max(found.deviations, key=lambda one: abs(one.current_percent), default=None)
    return Beside(
        kind=kind,
        curve=other,
        refusals=found.refusals_text,
        largest_percent=None if most is None else most.current_percent,
        at_voltage_v=None if most is None else most.voltage_v,
    )


def _factory(job: Job | None, core: CoreHit, own: KeptCurve) -> Iterator[KeptCurve]:
    """Curves of a certificate that the record itself carries for this core and tap."""
    its = (
        next((place.core for place in places(job) if place.core.core_id == core.core_id), None)
        if job
        else None
    )
    if job is None or its is None:
        return
    taps = {tap.tap_id: tap.terminals_text for tap in its.taps}
    for one in job.references.curves:
        terminals = taps.get(one.tap_id, own.terminals_text)
        if (one.core_id, one.kind) == (core.core_id, "certificate") and terminals == own.terminals_text:
            yield _as_kept(own, one, terminals)


def _as_kept(own: KeptCurve, one: ReferenceCurve, terminals_text: str) -> KeptCurve:
    return KeptCurve(
        leaf_no=own.leaf_no,
        record_digest=own.record_digest,
        number_text=one.source_text,
        tested_on="",
        core_no=own.core_no,
        phase_text=own.phase_text,
        serial_text=own.serial_text,
        terminals_text=terminals_text,
        frequency_hz=one.frequency_hz,
        voltage_response=one.voltage_response,
        current_response=one.current_response,
        demagnetised="",
        voltage_v=np.array([point.voltage_v for point in one.points]),
        current_a=np.array([point.current_a for point in one.points]),
    )
