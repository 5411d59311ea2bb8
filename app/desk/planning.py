"""The verb that plans the tests of cores by class, duty and work."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection

from app.desk.core import DeskCore
from app.desk.readiness import place_words
from app.desk.view import Change
from ctcore.errors import BadInput
from ctcore.job import Core, Job, places
from ctcore.plan import with_plan
from ctcore.procedures import PROCEDURES, planned


class PlanningVerbs(DeskCore):
    """Taking the plan that is offered."""

    def offer_plan(self, job_id: str, core_ids: Collection[str]) -> Change:
        """Plan the tests of cores by class, duty and work; what was measured already stays in the plan."""
        its = self._of(job_id)
        self._demand_open(its)
        known = {place.core.core_id for place in places(its.job)}
        for core_id in core_ids:
            if core_id not in known:
                raise BadInput("core", core_id, "the job has no core of that name")
        new = _with_plans(its.job, frozenset(core_ids))
        where: dict[str, object] = {"core_ids": sorted(core_ids)}
        act = self._act("plan", its.job, where, _words(its.job, core_ids), _words(new, core_ids))
        change = self._write_outline(job_id, new, act, "plan")
        if change.note_text:
            return dataclasses.replace(change, note_text="The plan is what class and duty ask for already.")
        count = len(core_ids)
        return dataclasses.replace(
            change,
            note_text=f"Tests are planned by class and duty for {count} core{'s' if count != 1 else ''}.",
        )


def _with_plans(job: Job, core_ids: frozenset[str]) -> Job:
    measured: dict[str, set[str]] = {}
    for entry in job.readings:
        measured.setdefault(entry.core_id, set()).add(entry.procedure_id)

    def replanned(core: Core) -> Core:
        if core.core_id not in core_ids:
            return core
        wanted = {*with_plan(job, core).procedures, *measured.get(core.core_id, ())}
        order = tuple(test.procedure_id for test in PROCEDURES if test.procedure_id in wanted)
        return dataclasses.replace(core, procedures=order)

    return dataclasses.replace(
        job,
        positions=tuple(
            dataclasses.replace(
                position,
                cts=tuple(
                    dataclasses.replace(ct, cores=tuple(replanned(core) for core in ct.cores))
                    for ct in position.cts
                ),
            )
            for position in job.positions
        ),
    )


def _words(job: Job, core_ids: Collection[str]) -> list[list[object]]:
    """What the trail says: each core with the tests planned for it."""
    return [
        [place_words(place), [test.short_name for test in planned(place.core)]]
        for place in places(job)
        if place.core.core_id in core_ids
    ]
