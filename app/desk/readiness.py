"""Why a job is not ready to be handed in or approved: one part of a sentence per reason."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from app.desk.exceptions import ExceptionLine, open_count
from ctcore.findings import Finding
from ctcore.job import CommentState, Job, Place, Remark, places
from ctcore.judge import takes_of_record
from ctcore.procedure import FieldSpec, Procedure
from ctcore.procedures import PROCEDURES
from ctcore.quantities import quantity
from ctcore.takes import Row, Take

_LINKS_BACK: Final = "links_back"
_COUNTS: Final = ("links_found_count", "links_lifted_count", "links_closed_count", "earths_left_count")

Takes = Mapping[tuple[str, str], tuple[Take, ...]]


def why_not_complete(job: Job, takes: Takes, findings: Sequence[Finding]) -> list[str]:
    """What is missing or open before the job can be handed in.

    A missing reading may stay missing where a remark on that test, or a deviation, says why.
    """
    explained = {(entry.core_id, entry.procedure_id) for entry in job.remarks if _explains(entry)}
    explained |= {(entry.core_id, entry.procedure_id) for entry in job.deviations if not entry.finding_key}
    reasons: list[str] = []
    for place in places(job):
        if (place.core.core_id, _LINKS_BACK) not in explained:
            reasons += [f"{place_words(place)}: {reason}" for reason in _counts(place.core.core_id, takes)]
        for procedure in PROCEDURES:
            its = takes.get((place.core.core_id, procedure.procedure_id), ())
            where = f"{place_words(place)}, {procedure.short_name.lower()}"
            reasons += [f"{where}: {reason}" for reason in _open_cells(its)]
            if (place.core.core_id, procedure.procedure_id) not in explained:
                reasons += [f"{where}: {reason}" for reason in _missing(place, procedure, its, findings)]
    return [*reasons, *_unanswered(job), *_unsettled(job)]


def _explains(entry: Remark) -> bool:
    """A question explains nothing; an answer that the reading stands does."""
    return not entry.wants_answer or any(step.kind == "rebuttal" for step in entry.steps)


def _unanswered(job: Job) -> Iterator[str]:
    for entry in job.remarks:
        if entry.state == "open":
            where = test_words(job, entry.core_id, entry.procedure_id)
            yield f"{where}: the comment “{entry.text}” wants an answer"


def _unsettled(job: Job) -> Iterator[str]:
    waiting = sum(len(question.open_fields) for question in job.questions)
    if waiting:
        noun = "field is" if waiting == 1 else "fields are"
        yield f"{waiting} {noun} said differently on two computers; say which holds"


def why_not_closed(job: Job) -> list[str]:
    """What comments keep the job from being approved."""
    counted = Counter(entry.state for entry in job.remarks)
    told: list[tuple[CommentState, str]] = [
        ("open", "open: close it, or send the job back for an answer"),
        ("answered", "answered and not closed: close it, or open it again"),
    ]
    return [
        f"{counted[state]} {'comment is' if counted[state] == 1 else 'comments are'} {words}"
        for state, words in told
        if counted[state]
    ]


def why_not_settled(exceptions: Sequence[ExceptionLine]) -> list[str]:
    """What keeps the job from being approved: lines without a decision, lines that go back."""
    waiting = open_count(exceptions)
    reasons = []
    if waiting:
        noun = "exception waits" if waiting == 1 else "exceptions wait"
        reasons.append(f"{waiting} {noun} for a decision")
    old = [line for line in exceptions if line.key.startswith("calibration/") and not line.settled]
    reasons += [f"{line.found_text.rstrip('.')}, which wants a concession" for line in old]
    back = sum(line.decision == "sent_back" for line in exceptions)
    if back:
        reasons.append(f"{back} {'line goes' if back == 1 else 'lines go'} back to who tested")
    return reasons


def place_words(place: Place) -> str:
    """Position, phase and core.

    >>> from ctcore.job import CT, Core, Place, Position
    >>> core = Core(core_id="k", number=2, class_text="", taps=())
    >>> place_words(Place(Position(position_id="p", name_text="S1"), CT(ct_id="t", phase_text="L1"), core))
    'S1 L1 core 2'
    """
    return f"{place.position.name_text} {place.ct.phase_text} core {place.core.number}"


def test_words(job: Job, core_id: str, procedure_id: str) -> str:
    """Position, phase, core and test; the whole job where neither is named."""
    place = next((place_words(one) for one in places(job) if one.core.core_id == core_id), "")
    test = next((one.short_name.lower() for one in PROCEDURES if one.procedure_id == procedure_id), "")
    return ", ".join(part for part in (place, test) if part) or "the whole job"


def _open_cells(takes: Sequence[Take]) -> Iterator[str]:
    for take in takes:
        for row in (take.method, *take.rows):
            for quantity_id, cell in row.cells.items():
                name = _field_words(row, quantity_id)
                if cell.disputed:
                    yield f"{name} has two readings that both stand; say which holds"
                elif cell.current and cell.current.value_text is None and cell.current.as_typed_text.strip():
                    yield f"{name} “{cell.current.as_typed_text}” is kept, but it gives no value"


def _missing(
    place: Place, procedure: Procedure, takes: Sequence[Take], findings: Sequence[Finding]
) -> Iterator[str]:
    for finding in findings:
        if finding.core != place.core.core_id or finding.procedure != procedure.procedure_id:
            continue
        if finding.verdict == "not tested":
            yield f"not tested, and no remark says why: {finding.text or finding.quantity}".rstrip(".")
    for take in takes_of_record(tuple(takes), procedure):
        for spec in procedure.method:
            if _wanted(spec, take) and take.method.cell(spec.quantity_id).current is None:
                yield f"{quantity(spec.quantity_id).name} is not stated, and no remark says why"
        for row in take.rows:
            if not row.struck:
                yield from _missing_in_row(procedure, take, row)


def _missing_in_row(procedure: Procedure, take: Take, row: Row) -> Iterator[str]:
    for spec in procedure.columns:
        if _wanted(spec, take) and row.cell(spec.quantity_id).current is None:
            yield f"{_field_words(row, spec.quantity_id)} is missing, and no remark says why"


def _wanted(spec: FieldSpec, take: Take) -> bool:
    if not spec.required:
        return False
    if spec.shown_when is None:
        return True
    other, values = spec.shown_when
    return take.method.cell(other).value_text in values


def _field_words(row: Row, quantity_id: str) -> str:
    name = quantity(quantity_id).name
    return name if row.row == "method" or not row.row.isdigit() else f"{name} of row {row.row}"


def _counts(core_id: str, takes: Takes) -> Iterator[str]:
    """What the counted links and earths say, wherever in the tests of a core they were counted last."""
    found, lifted, closed, earths = (_last_number(core_id, takes, name) for name in _COUNTS)
    if lifted and closed is None:
        yield f"{lifted:g} links were lifted, and it is not said how many were closed again"
    elif found is not None and closed is not None and found != closed:
        yield f"{found:g} links were found closed and {closed:g} are closed now"
    # Safety: a secondary circuit has one earth; none leaves it floating, a second one carries stray current.
    if earths is not None and earths != 1:
        yield f"the circuit was left with {earths:g} earths; one is wanted"


def _last_number(core_id: str, takes: Takes, quantity_id: str) -> float | None:
    cells = [
        row.cell(quantity_id)
        for (its_core, _), its_takes in takes.items()
        if its_core == core_id
        for take in its_takes[-1:]
        for row in (take.method, *take.rows)
    ]
    numbers = [cell.number for cell in cells if cell.number is not None]
    return numbers[-1] if numbers else None
