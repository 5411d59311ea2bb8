"""A job in, findings out."""

from __future__ import annotations

from collections.abc import Mapping

from ctcore.findings import Finding
from ctcore.job import Job, Place, places
from ctcore.procedure import Derived, Procedure, Scene
from ctcore.procedures import PROCEDURES, planned
from ctcore.takes import Take, takes_of

RULES_VERSION = "1"


def judge(job: Job) -> list[Finding]:
    """Findings of every core of the job, in the order of the sheet.

    A planned test without readings gives one finding "not tested".
    """
    takes = takes_of(job.readings)
    return [finding for place in places(job) for finding in judge_core(job, place, takes)]


def judge_core(job: Job, place: Place, takes: Mapping[tuple[str, str], tuple[Take, ...]]) -> list[Finding]:
    """Findings of one core, given the takes of the whole job."""
    scene = Scene(job, place.position, place.ct, place.core, takes)
    return [finding for procedure in planned(place.core) for finding in _judge_procedure(scene, procedure)]


def derived(
    job: Job, place: Place, takes: Mapping[tuple[str, str], tuple[Take, ...]]
) -> dict[tuple[str, str, int], tuple[Derived, ...]]:
    """The derived values of every take of one core, by (core_id, procedure_id, take)."""
    scene = Scene(job, place.position, place.ct, place.core, takes)
    return {
        (take.core_id, take.procedure_id, take.take): tuple(procedure.derive(scene, take))
        for procedure in planned(place.core)
        for take in takes.get((place.core.core_id, procedure.procedure_id), ())
    }


def takes_of_record(takes: tuple[Take, ...], procedure: Procedure) -> tuple[Take, ...]:
    """The last take of each subject, in the order of their numbers."""
    if procedure.per_subject is None:
        return takes[-1:]
    last = {procedure.per_subject(take): take for take in takes}
    return tuple(sorted(last.values(), key=lambda take: take.take))


def _judge_procedure(scene: Scene, procedure: Procedure) -> list[Finding]:
    takes = scene.takes.get((scene.core.core_id, procedure.procedure_id), ())
    found = [
        finding for take in takes_of_record(takes, procedure) for finding in procedure.judge(scene, take)
    ]
    return found or [not_tested(scene, procedure)]


def not_tested(scene: Scene, procedure: Procedure) -> Finding:
    """The finding that stands for a planned test without readings."""
    return Finding(
        core=scene.core.core_id,
        quantity="judgement",
        value=None,
        limit=None,
        margin=None,
        verdict="not tested",
        source="",
        rule=f"{procedure.procedure_id}.planned",
        procedure=procedure.procedure_id,
        text="No readings yet.",
    )


__all__ = ["PROCEDURES", "RULES_VERSION", "derived", "judge", "judge_core", "takes_of_record"]
