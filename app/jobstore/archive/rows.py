"""The rows of one signed record, made from the record alone: what is searched, compared and counted later."""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from app.jobstore.archive.spelling import look_up, stored, words
from app.record.papers import Issued
from app.record.revision import Record
from ctcore.findings import Finding, worst
from ctcore.job import Job, Place, places
from ctcore.judge import Takes, takes_of_record
from ctcore.procedure import Derived, Procedure
from ctcore.procedures import PROCEDURES
from ctcore.takes import Take, holders, takes_of

Row = dict[str, Any]
# What is kept where nobody chose otherwise: the unit's life and six years, and never less than this.
LEAST_YEARS: Final = 24
_KEPT_UNSAID: Final = frozenset({"within", "not applicable"})


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows by table, without the numbers that the archive gives; `core_rows` bring theirs along."""

    filed: Row
    cores: tuple[CoreRows, ...]
    deviations: tuple[Row, ...]
    people: tuple[Row, ...]
    words: tuple[str, ...]
    keep_until: str


@dataclass(frozen=True, slots=True)
class CoreRows:
    """One core with everything that hangs on it."""

    core: Row
    results: tuple[Row, ...]
    curves: tuple[Row, ...]
    findings: tuple[Row, ...]
    instruments: tuple[Row, ...]


def rows_of(record: Record, issued: Issued) -> Rows:
    """The rows of an issued record."""
    job = record.job
    takes = takes_of(job.readings)
    found: dict[str, list[Finding]] = {}
    for finding in record.findings:
        found.setdefault(finding.core, []).append(finding)
    frozen = {(one.core_id, one.procedure_id, one.take): one.values for one in record.derived}
    cores = tuple(
        _core_rows(job, place, found.get(place.core.core_id, []), takes, frozen) for place in places(job)
    )
    return Rows(
        filed=_filed(record, issued),
        cores=cores,
        deviations=_deviations(job),
        people=_people(job, issued),
        words=tuple(words(_told(job, issued))),
        keep_until=_years_later(issued.issued_at_utc[:10], LEAST_YEARS),
    )


def packed(
    volts: Sequence[float] | NDArray[np.float64], amperes: Sequence[float] | NDArray[np.float64]
) -> bytes:
    """A curve as it is kept.

    >>> [values.tolist() for values in unpacked(packed([1.0, 2.0], [0.1, 0.2]))]
    [[1.0, 2.0], [0.1, 0.2]]
    """
    both = np.concatenate([np.asarray(volts, "<f8"), np.asarray(amperes, "<f8")])
    return zlib.compress(both.tobytes(), 6)


def unpacked(data: bytes) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Volts and amperes of a curve that was kept."""
    both = np.frombuffer(zlib.decompress(data), "<f8").astype(float)
    return both[: both.size // 2], both[both.size // 2 :]


def _filed(record: Record, issued: Issued) -> Row:
    header = record.job.header
    return {
        "job_id": record.job.job_id,
        "revision": record.revision,
        "number_text": stored(header.number_text),
        "number_key": look_up(header.number_text),
        "title_text": stored(header.title_text),
        "site_text": stored(header.site_text),
        "site_key": look_up(header.site_text),
        "customer_text": stored(header.customer_text),
        "work_order_text": stored(header.work_order_text),
        "work_order_key": look_up(header.work_order_text),
        "tested_on": _tested_on(record.job) or issued.tested.at_utc[:10],
        "approved_on": issued.approved.at_utc[:10],
        "issued_at_utc": issued.issued_at_utc,
        "tested_by_text": stored(issued.tested.name_text),
        "approved_by_text": stored(issued.approved.name_text),
        "decision_text": stored(issued.decision),
        "worst": worst(finding.verdict for finding in record.findings),
        "core_count": len(places(record.job)),
    }


def _tested_on(job: Job) -> str:
    """The day of the last reading; empty where there is none."""
    return max((entry.at_utc[:10] for entry in job.readings), default="")


def _years_later(day: str, years: int) -> str:
    """That day some years on; the 29th of February falls on the last of the month.

    >>> _years_later("2028-02-29", 25)
    '2053-02-28'
    """
    year, rest = int(day[:4]) + years, day[4:]
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return f"{year:04d}{'-02-28' if rest == '-02-29' and not leap else rest}"


def _core_rows(
    job: Job,
    place: Place,
    found: Sequence[Finding],
    takes: Takes,
    frozen: Mapping[tuple[str, str, int], Sequence[Derived]],
) -> CoreRows:
    core, ct = place.core, place.ct
    own = {(one.procedure, one.row, one.quantity, one.take): one.verdict for one in found}
    # The same tap may have another number in the next job; its terminals stay.
    taps = {tap.tap_id: tap.terminals_text for tap in core.taps}
    results: list[Row] = []
    for procedure, take, values in _of_record(core.core_id, takes, frozen):
        subject = procedure.per_subject(take) if procedure.per_subject else ""
        subject = taps.get(subject, subject)
        for value in values:
            verdict = own.get((procedure.procedure_id, value.row, value.quantity_id, take.take), "")
            row = taps.get(value.row, value.row)
            results.append(_result(procedure, subject, row, value, verdict, sort=len(results)))
    return CoreRows(
        core={
            "core_id": core.core_id,
            "position_text": stored(place.position.name_text),
            "position_key": look_up(place.position.name_text),
            "phase_text": stored(ct.phase_text),
            "core_number": core.number,
            "serial_text": stored(ct.serial_text),
            "serial_key": look_up(ct.serial_text),
            "class_text": stored(core.class_text),
            "class_key": look_up(core.class_text),
            "terminals_text": stored(", ".join(tap.terminals_text for tap in core.taps)),
            "worst": worst(one.verdict for one in found),
        },
        results=tuple(results),
        curves=tuple(_curves(place, takes)),
        findings=tuple(_findings(found)),
        instruments=tuple(_instruments(job, core.core_id)),
    )


def _of_record(
    core_id: str, takes: Takes, frozen: Mapping[tuple[str, str, int], Sequence[Derived]]
) -> Iterator[tuple[Procedure, Take, list[Derived]]]:
    """The takes of record of a core with those of their values that no later take replaces."""
    for procedure in PROCEDURES:
        of_test = takes.get((core_id, procedure.procedure_id), ())
        held = holders(of_test) if procedure.per_row else {}
        for take in takes_of_record(of_test, procedure):
            values = frozen.get((core_id, procedure.procedure_id, take.take), ())
            yield procedure, take, [one for one in values if held.get(one.row, take) is take]


def _result(procedure: Procedure, subject: str, row: str, value: Derived, verdict: str, *, sort: int) -> Row:
    number = float(value.value) if isinstance(value.value, int | float) else None
    return {
        "sort": sort,
        "procedure_id": procedure.procedure_id,
        "subject_text": stored(subject),
        "row": stored(row),
        "quantity_id": value.quantity_id,
        "value": number,
        "value_text": stored(value.value) if isinstance(value.value, str) else "",
        "u_expanded": value.u_expanded,
        "verdict": verdict,
    }


def _curves(place: Place, takes: Takes) -> Iterator[Row]:
    procedure = next(one for one in PROCEDURES if one.curve == "excitation")
    of_test = takes.get((place.core.core_id, procedure.procedure_id), ())
    for sort, take in enumerate(takes_of_record(of_test, procedure)):
        points = [
            (row.cell("v_excitation_v").number, row.cell("i_excitation_a").number)
            for row in take.rows
            if not row.struck
        ]
        read = [(volts, amperes) for volts, amperes in points if volts is not None and amperes is not None]
        if not read:
            continue
        method = take.method
        tap = place.core.tap(method.cell("tap_id").value_text or "")
        yield {
            "sort": sort,
            "terminals_text": stored(tap.terminals_text if tap else ""),
            "frequency_hz": method.cell("frequency_hz").number,
            "voltage_response": method.cell("voltage_response").value_text or "",
            "current_response": method.cell("current_response").value_text or "",
            "demagnetised": method.cell("demagnetised").value_text or "",
            "point_count": len(read),
            "points": packed([volts for volts, _ in read], [amperes for _, amperes in read]),
        }


def _findings(found: Sequence[Finding]) -> Iterator[Row]:
    told = [one for one in found if one.verdict not in _KEPT_UNSAID]
    for sort, one in enumerate(told):
        yield {
            "sort": sort,
            "procedure_id": one.procedure,
            "row": stored(one.row),
            "quantity_id": one.quantity,
            "rule": one.rule,
            "verdict": one.verdict,
            "text": stored(one.text),
        }


def _instruments(job: Job, core_id: str) -> Iterator[Row]:
    known = {one.instrument_id: one for one in job.instruments}
    used = sorted(
        {
            (entry.instrument_id, entry.procedure_id)
            for entry in job.readings
            if entry.core_id == core_id and entry.instrument_id in known
        }
    )
    for instrument_id, procedure_id in used:
        one = known[instrument_id or ""]
        yield {
            "instrument_id": one.instrument_id,
            "procedure_id": procedure_id,
            "name_text": stored(one.name_text),
            "serial_text": stored(one.serial_text),
            "serial_key": look_up(one.serial_text),
            "due_on": one.due_on or "",
        }


def _deviations(job: Job) -> tuple[Row, ...]:
    return tuple(
        {
            "deviation_id": one.deviation_id,
            "core_id": one.core_id,
            "found_text": stored(one.found_text),
            "decision_text": stored(one.decision_text),
            "disposition_text": stored(one.disposition_text),
            "owner_text": stored(one.owner_text),
            "due_on": one.due_on or "",
            # Assumption: what somebody is to do until a day, or what nobody decided, is not done yet.
            "is_open": int(bool(one.due_on) or not (one.decision_text or one.disposition_text)),
        }
        for one in job.deviations
    )


def _people(job: Job, issued: Issued) -> tuple[Row, ...]:
    parts = [(issued.tested.person_id, "tested", issued.tested.name_text)]
    parts.append((issued.approved.person_id, "approved", issued.approved.name_text))
    parts += [
        (one.person_id, "witnessed" if one.witnessed or one.watched else "named", one.name_text)
        for one in job.people
    ]
    return tuple(
        {"person_id": who, "part": part, "name_text": stored(name), "name_key": look_up(name)}
        for who, part, name in dict.fromkeys(parts)
    )


def _told(job: Job, issued: Issued) -> Iterator[str]:
    """Every text of a job by which somebody may look for it."""
    header = job.header
    yield from (header.number_text, header.title_text, header.site_text, header.customer_text)
    yield from (header.work_order_text, header.organisation_text, header.drawings_text)
    for position in job.positions:
        yield position.name_text
        for ct in position.cts:
            yield from (ct.serial_text, ct.maker_text, ct.type_text)
            yield from (
                text for core in ct.cores for text in (core.class_text, core.duty_text, core.remark_text)
            )
    for one in job.instruments:
        yield from (one.name_text, one.serial_text)
    yield from (issued.tested.name_text, issued.approved.name_text)
    yield from (person.name_text for person in job.people)
    yield from (remark.text for remark in job.remarks)
    for deviation in job.deviations:
        yield from (deviation.found_text, deviation.decision_text, deviation.disposition_text)
