"""A job in, findings and derived values out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite

from ctcore.errors import BadInput
from ctcore.findings import Finding, Verdict
from ctcore.job import Job, Place, places
from ctcore.judgement.budget import budget_of
from ctcore.judgement.cells import Trouble
from ctcore.judgement.plate import plate_trouble
from ctcore.procedure import Derived, Procedure, Scene
from ctcore.procedures import PROCEDURES, planned
from ctcore.takes import Take, holders, takes_of

RULES_VERSION = "3"
# Tests that are judged whatever the plate says of currents and turns.
_WITHOUT_PLATE = ("visual", "links", "insulation", "insulation_time", "kick", "links_back")

Takes = Mapping[tuple[str, str], tuple[Take, ...]]


def judge(job: Job) -> list[Finding]:
    """Return the findings of every core of the job, in the order of the sheet.

    Formula: none of its own; every planned test, and any other with readings, judges its takes of record.
    Args: a `Job`, as `ctcore.job.from_plain` makes it.
    Result: a list of `Finding`, values and limits in base units; a planned test without readings gives one
    finding "not tested".
    Valid for any job: what cannot be judged is a finding that says why.
    Raises BadInput for what is no `Job`.
    Source: stands in each finding.

    >>> from ctcore.job import Header
    >>> judge(Job(job_id="j", header=Header(number_text="1")))
    []
    """
    if not isinstance(job, Job):
        raise BadInput("job", job, "a Job is wanted; ctcore.job.from_plain makes one of plain data")
    takes = takes_of(job.readings)
    return [finding for place in places(job) for finding in judge_core(job, place, takes)]


def judge_core(job: Job, place: Place, takes: Takes) -> list[Finding]:
    """Findings of one core, given the takes of the whole job."""
    scene = scene_of(job, place, takes)
    wanted = planned(place.core)
    # A test that was not planned but has readings is judged as well: nothing keyed goes unseen.
    return [
        finding
        for procedure in PROCEDURES
        if procedure in wanted or (place.core.core_id, procedure.procedure_id) in takes
        for finding in _judge_procedure(scene, procedure)
    ]


def derived(job: Job, place: Place, takes: Takes) -> dict[tuple[str, str, int], tuple[Derived, ...]]:
    """Derived values of one core for every take, those that are not of record included.

    The key is (core_id, procedure_id, take).
    """
    scene = scene_of(job, place, takes)
    core_id = place.core.core_id
    return {
        (core_id, procedure.procedure_id, take.take): tuple(_derive(scene, procedure, take))
        for procedure in PROCEDURES
        for take in takes.get((core_id, procedure.procedure_id), ())
    }


def scene_of(job: Job, place: Place, takes: Takes) -> Scene:
    """What a procedure may look at when it judges this core."""
    return Scene(job, place.position, place.ct, place.core, takes)


def takes_of_record(takes: tuple[Take, ...], procedure: Procedure) -> tuple[Take, ...]:
    """The last take of each subject, in the order of their numbers; where a test goes row by row, every take
    that holds a row of record, and the last."""
    if procedure.per_row and takes:
        holding = [*holders(takes).values(), takes[-1]]
        return tuple(take for take in takes if any(take is held for held in holding))
    if procedure.per_subject is None:
        return takes[-1:]
    last = {procedure.per_subject(take): take for take in takes}
    return tuple(sorted(last.values(), key=lambda take: take.take))


def touched_by(job: Job, core_id: str) -> frozenset[str]:
    """The cores whose findings a reading on this core can change: itself, sisters, others of its CT."""
    own = next((place for place in places(job) if place.core.core_id == core_id), None)
    if own is None:
        return frozenset()
    sisters = {core.core_id for ct in own.position.cts for core in ct.cores if core.number == own.core.number}
    return frozenset({core_id} | sisters | {core.core_id for core in own.ct.cores})


def _derive(scene: Scene, procedure: Procedure, take: Take) -> list[Derived]:
    if _trouble(scene, procedure) is not None:
        return []
    # NaN and infinity do not leave the core: a value out of reach is none.
    return [
        replace(entry, value=None, u_expanded=None) if _out_of_reach(entry) else entry
        for entry in procedure.derive(scene, take)
    ]


def _out_of_reach(entry: Derived) -> bool:
    return isinstance(entry.value, float) and not isfinite(entry.value)


def _judge_procedure(scene: Scene, procedure: Procedure) -> list[Finding]:
    takes = scene.takes.get((scene.core.core_id, procedure.procedure_id), ())
    trouble = _trouble(scene, procedure)
    if takes and trouble is not None:
        return [_of_whole_test(scene, procedure, "refer", trouble.text, rule="plate")]
    found = [
        finding for take in takes_of_record(takes, procedure) for finding in procedure.judge(scene, take)
    ]
    return found or [not_tested(scene, procedure)]


def _trouble(scene: Scene, procedure: Procedure) -> Trouble | None:
    """What on the plate or of the job keeps a whole test from being judged, or None."""
    if any(one.is_open_about(scene.position.position_id, scene.ct.ct_id) for one in scene.job.questions):
        return Trouble("refer", "Plate or limits are said differently on two computers: answer that first.")
    if procedure.row_kind == "points" and scene.job.frequency_rated_hz <= 0.0:
        return Trouble("refer", "The rated frequency of the job is above zero.")
    needs_plate = procedure.procedure_id not in _WITHOUT_PLATE and scene.core.taps
    if procedure.row_kind in ("fixed", "terminals") and not needs_plate:
        return None
    return plate_trouble(scene.core)


def not_tested(scene: Scene, procedure: Procedure) -> Finding:
    """The finding that stands for a planned test without readings, or for one that was left out."""
    why = scene.core.why_left_out(procedure.procedure_id)
    if why:
        text = f"Left out: {why}"
        return _of_whole_test(scene, procedure, "not applicable", text, rule="left_out")
    return _of_whole_test(scene, procedure, "not tested", "No readings yet.", rule="planned")


def _of_whole_test(scene: Scene, procedure: Procedure, verdict: Verdict, text: str, *, rule: str) -> Finding:
    return Finding(
        core=scene.core.core_id,
        quantity="judgement",
        value=None,
        limit=None,
        margin=None,
        verdict=verdict,
        source="",
        rule=f"{procedure.procedure_id}.{rule}",
        procedure=procedure.procedure_id,
        text=text,
    )


__all__ = [
    "PROCEDURES",
    "RULES_VERSION",
    "budget_of",
    "derived",
    "judge",
    "judge_core",
    "not_tested",
    "scene_of",
    "takes_of_record",
    "touched_by",
]
