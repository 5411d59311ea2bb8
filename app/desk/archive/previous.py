"""A previous test taken out of the archive into a job, to be compared with: one act, one step to undo."""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from app.desk.references import COMPARED, ReferenceVerbs
from app.desk.side_by_side import plain
from app.desk.view import Change, Refusal
from ctcore.job import Core, Job, ReferenceCurve, ReferencePoint, ReferenceValue, places

if TYPE_CHECKING:
    from app.jobstore.archive import Archive, CoreHit, FiledLine, KeptCurve


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A value of the previous test at a pair of terminals."""

    quantity_id: str
    terminals_text: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PreviousTest:
    """What a core was found to be at an earlier test, with where that stands written."""

    serial_text: str
    core_number: int
    source_text: str
    figures: tuple[Figure, ...]
    curves: tuple[KeptCurve, ...]


def previous_test(archive: Archive, line: FiledLine, core: CoreHit) -> PreviousTest:
    """What a record of the archive says of a core, as something to compare the next test with."""
    kept = [one for one in archive.values(core.core_no, *COMPARED) if one.leaf_no == line.leaf_no]
    found = [
        Figure(
            quantity_id=one.quantity_id, terminals_text=one.row or one.subject_text, value=float(one.value)
        )
        for one in kept
        if one.value is not None
    ]
    # Several values at one pair of terminals, such as errors at several currents, are no single figure.
    often = Counter((one.quantity_id, one.terminals_text) for one in found)
    curves = [one for one in archive.curves(core.core_no) if one.leaf_no == line.leaf_no]
    return PreviousTest(
        serial_text=core.serial_text,
        core_number=core.core_number,
        source_text=f"test of {line.tested_on}, sheet {line.number_text} revision {line.revision}, archive",
        figures=tuple(one for one in found if often[one.quantity_id, one.terminals_text] == 1),
        curves=tuple(curves),
    )


class PreviousVerbs(ReferenceVerbs):
    """What comes out of the archive into a job."""

    def take_previous(self, job_id: str, test: PreviousTest) -> Change:
        """Compare the core of that serial and core number with its previous test.

        What stood there as previous for the same taps is replaced. Refusal where the job has no such core, or
        none of its taps was tested then.
        """
        job = self._of(job_id).job
        core = _core_of(job, test)
        taps = {plain(tap.terminals_text): tap.tap_id for tap in core.taps}
        values = tuple(_values(core, taps, test))
        curves = tuple(_curves(core, taps, test))
        if not values and not curves:
            raise Refusal(
                "Nothing was changed. The earlier test has no value and no curve for the taps that this job "
                "names: compare the terminals on both plates."
            )
        new_values = {(one.core_id, one.row, one.quantity_id) for one in values}
        new_curves = {(one.core_id, one.tap_id) for one in curves}
        references = job.references
        made = dataclasses.replace(
            references,
            values=(
                *(
                    one
                    for one in references.values
                    if one.kind != "previous" or (one.core_id, one.row, one.quantity_id) not in new_values
                ),
                *values,
            ),
            curves=(
                *(
                    one
                    for one in references.curves
                    if one.kind != "previous" or (one.core_id, one.tap_id) not in new_curves
                ),
                *curves,
            ),
        )
        told = self._set(job_id, made)
        note = f"{len(values)} values and {len(curves)} curves of the {test.source_text}, are compared with."
        return dataclasses.replace(told, note_text=note)


def _core_of(job: Job, test: PreviousTest) -> Core:
    wanted = plain(test.serial_text)
    for place in places(job):
        if wanted and (plain(place.ct.serial_text), place.core.number) == (wanted, test.core_number):
            return place.core
    raise Refusal(
        f"Nothing was changed. The job on the table has no core {test.core_number} in a transformer with the "
        f"serial number {test.serial_text or 'not stated'}: enter the plate first, or open the right job."
    )


def _values(core: Core, taps: dict[str, str], test: PreviousTest) -> Iterator[ReferenceValue]:
    for one in test.figures:
        tap_id = taps.get(plain(one.terminals_text))
        if tap_id is not None:
            yield ReferenceValue(
                core_id=core.core_id,
                row=tap_id,
                quantity_id=one.quantity_id,
                kind="previous",
                value=one.value,
                source_text=test.source_text,
            )


def _curves(core: Core, taps: dict[str, str], test: PreviousTest) -> Iterator[ReferenceCurve]:
    last: dict[str, KeptCurve] = {}
    for one in test.curves:
        tap_id = taps.get(plain(one.terminals_text))
        if tap_id is not None and one.frequency_hz is not None:
            last[tap_id] = one
    for tap_id, one in last.items():
        yield ReferenceCurve(
            core_id=core.core_id,
            tap_id=tap_id,
            kind="previous",
            source_text=test.source_text,
            frequency_hz=one.frequency_hz or 0.0,
            voltage_response=one.voltage_response,
            current_response=one.current_response,
            points=_points(one.voltage_v.tolist(), one.current_a.tolist()),
        )


def _points(volts: Sequence[float], amperes: Sequence[float]) -> tuple[ReferencePoint, ...]:
    return tuple(
        ReferencePoint(voltage_v=volt, current_a=ampere) for volt, ampere in zip(volts, amperes, strict=True)
    )
