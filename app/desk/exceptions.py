"""What a supervisor decides: each line outside, refer or not tested, and calibrations that had ended."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from ctcore.findings import Finding, Verdict, worst_first
from ctcore.job import Decision, Deviation, Instrument, Job, Reading, places
from ctcore.procedures import PROCEDURES
from ctcore.takes import standing

_TO_DECIDE: Final[tuple[Verdict, ...]] = ("outside", "refer", "not tested")
_CALIBRATION: Final = "calibration"


@dataclass(frozen=True, slots=True, kw_only=True)
class ExceptionLine:
    """One judged line: what it is about, what was found, and the decision that stands, if one does.

    `allowed` are the decisions that are open for it: what is outside, or was read with an instrument whose
    calibration had ended, is never accepted as it is.
    """

    key: str
    core_id: str
    procedure_id: str
    verdict: Verdict
    found_text: str
    allowed: tuple[Decision, ...]
    decision: Decision | None = None
    reason_text: str = ""
    valid_text: str = ""
    person_id: str = ""
    at_utc: str = ""

    @property
    def settled(self) -> bool:
        """Whether a decision stands."""
        return self.decision is not None


def key_of(finding: Finding) -> str:
    """The name of a judged line, the same as long as that take of the test is judged by the same rule.

    >>> key_of(Finding("c1", "polarity", "agrees", None, None, "within", "plate", "ratio.polarity", row="t1"))
    'c1/ratio.polarity/0/t1/polarity'
    """
    return "/".join((finding.core, finding.rule, str(finding.take), finding.row, finding.quantity))


def exceptions_of(job: Job, findings: Iterable[Finding]) -> tuple[ExceptionLine, ...]:
    """Every line that wants a decision, worst first, each with the decision that stands."""
    decided = {entry.finding_key: entry for entry in job.deviations if entry.finding_key}
    lines = [_of_finding(finding) for finding in worst_first(findings) if finding.verdict in _TO_DECIDE]
    lines += [_of_calibration(*found) for found in expired_calibrations(job)]
    return tuple(_with_decision(line, decided.get(line.key)) for line in lines)


def lines_of(job: Job, findings: Iterable[Finding]) -> tuple[ExceptionLine, ...]:
    """Every judged line by core and test in the order of the sheet, then the calibrations that had ended."""
    decided = {entry.finding_key: entry for entry in job.deviations if entry.finding_key}
    cores = {place.core.core_id: number for number, place in enumerate(places(job))}
    tests = {test.procedure_id: number for number, test in enumerate(PROCEDURES)}
    ordered = sorted(
        findings,
        key=lambda one: (cores.get(one.core, len(cores)), tests.get(one.procedure, len(tests)), one.take),
    )
    lines = [_of_finding(finding) for finding in ordered]
    lines += [_of_calibration(*found) for found in expired_calibrations(job)]
    return tuple(_with_decision(line, decided.get(line.key)) for line in lines)


def expired_calibrations(job: Job) -> Iterator[tuple[Instrument, int]]:
    """Instruments whose calibration had ended on the day of a reading that stands, with how many of those."""
    in_force = [entry for entry in standing(job.readings) if not entry.struck and not entry.withdrawn]
    for instrument in job.instruments:
        due = _day(instrument.due_on)
        if due is None:
            continue
        late = [
            entry
            for entry in in_force
            if entry.instrument_id == instrument.instrument_id and _read_on(entry) > due
        ]
        if late:
            yield instrument, len(late)


def open_count(lines: Sequence[ExceptionLine]) -> int:
    """How many lines wait for a decision."""
    return sum(not line.settled for line in lines)


def _of_finding(finding: Finding) -> ExceptionLine:
    allowed: tuple[Decision, ...] = ()
    if finding.verdict in _TO_DECIDE:
        allowed = ("sent_back", "concession")
    if finding.verdict in ("refer", "not tested"):
        allowed = ("accepted", *allowed)
    return ExceptionLine(
        key=key_of(finding),
        core_id=finding.core,
        procedure_id=finding.procedure,
        verdict=finding.verdict,
        found_text=f"{finding.verdict}: {finding.text or finding.quantity}",
        allowed=allowed,
    )


def _of_calibration(instrument: Instrument, count: int) -> ExceptionLine:
    noun = "reading" if count == 1 else "readings"
    return ExceptionLine(
        key=f"{_CALIBRATION}/{instrument.instrument_id}",
        core_id="",
        procedure_id="",
        verdict="refer",
        found_text=f"{instrument.name_text}: calibration ended {instrument.due_on}; {count} {noun} after it.",
        allowed=("sent_back", "concession"),
    )


def _with_decision(line: ExceptionLine, made: Deviation | None) -> ExceptionLine:
    """The decision counts for what it was made about: a line that says something else is open again."""
    if made is None or made.decision is None or made.found_text != line.found_text:
        return line
    return dataclasses.replace(
        line,
        decision=made.decision,
        reason_text=made.decision_text,
        valid_text=made.valid_text,
        person_id=made.person_id,
        at_utc=made.at_utc,
    )


def _day(text: str | None) -> date | None:
    try:
        return date.fromisoformat(text[:10]) if text else None
    except ValueError:
        return None


def _read_on(entry: Reading) -> date:
    """The day on the wall where the reading was taken; the first of all days where it has no time."""
    try:
        at = datetime.fromisoformat(entry.at_utc)
        return (at + timedelta(minutes=entry.utc_offset_minutes)).date()
    except (ValueError, OverflowError):
        return date.min
