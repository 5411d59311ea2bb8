"""The verbs that plan the tests of cores: what is offered, their order, what is left out and why."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Collection, Sequence

from app.desk.core import DeskCore
from app.desk.readiness import place_words
from app.desk.view import Change, Refusal
from ctcore.errors import BadInput
from ctcore.job import Core, Job, places
from ctcore.left_out import LeftOut
from ctcore.plan import with_plan
from ctcore.procedures import PROCEDURES, planned


class PlanningVerbs(DeskCore):
    """Taking the plan that is offered, and changing it."""

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

    def order_tests(self, job_id: str, core_id: str, procedure_ids: Sequence[str]) -> Change:
        """Put the planned tests of a core into another order; what is planned stays planned."""
        its = self._of(job_id)
        self._demand_open(its)
        core = _core_of(its.job, core_id)
        here = [test.procedure_id for test in planned(core)]
        if sorted(procedure_ids) != sorted(here):
            raise BadInput("plan", list(procedure_ids), "an order names every planned test once")
        names = {test.procedure_id: test.short_name for test in PROCEDURES}
        act = self._act(
            "plan_order", its.job, {"core_id": core_id}, [names[name] for name in here],
            [names[name] for name in procedure_ids],
        )  # fmt: skip
        new = _with_core(its.job, dataclasses.replace(core, procedures=tuple(procedure_ids)))
        return self._write_outline(job_id, new, act, "order of tests")

    def leave_out(self, job_id: str, core_id: str, procedure_id: str, reason_text: str) -> Change:
        """Set a planned test not applicable on a core, with a reason, until it has readings."""
        its = self._of(job_id)
        self._demand_open(its)
        core = _core_of(its.job, core_id)
        if not reason_text.strip():
            raise Refusal("A test is left out with a reason. Nothing was changed.")
        if procedure_id not in {test.procedure_id for test in planned(core)}:
            raise Refusal("This test is not in the plan of the core. Nothing was changed.")
        if (core_id, procedure_id) in its.takes:
            raise Refusal("This test has readings, which stay and are judged. Nothing was changed.")
        at_utc, offset = self._stamp()
        made = LeftOut(
            procedure_id=procedure_id,
            reason_text=reason_text.strip(),
            person_id=self.settings.me()[0],
            at_utc=at_utc,
            utc_offset_minutes=offset,
        )
        kept = tuple(one for one in core.left_out if one.procedure_id != procedure_id)
        where: dict[str, object] = {"core_id": core_id, "procedure_id": procedure_id}
        act = self._act("leave_out", its.job, where, core.why_left_out(procedure_id), made.reason_text)
        new = _with_core(its.job, dataclasses.replace(core, left_out=(*kept, made)))
        return self._write_outline(job_id, self._me_as_part(new)[0], act, "test left out")

    def take_up(self, job_id: str, core_id: str, procedure_id: str) -> Change:
        """Take a test that was left out back into the day."""
        its = self._of(job_id)
        self._demand_open(its)
        core = _core_of(its.job, core_id)
        kept = tuple(one for one in core.left_out if one.procedure_id != procedure_id)
        where: dict[str, object] = {"core_id": core_id, "procedure_id": procedure_id}
        act = self._act("take_up", its.job, where, core.why_left_out(procedure_id), None)
        new = _with_core(its.job, dataclasses.replace(core, left_out=kept))
        return self._write_outline(job_id, new, act, "test taken up")


def _core_of(job: Job, core_id: str) -> Core:
    found = next((place.core for place in places(job) if place.core.core_id == core_id), None)
    if found is None:
        raise BadInput("core", core_id, "the job has no core of that name")
    return found


def _with_core(job: Job, core: Core) -> Job:
    return _with_cores(job, lambda one: core if one.core_id == core.core_id else one)


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

    return _with_cores(job, replanned)


def _with_cores(job: Job, change: Callable[[Core], Core]) -> Job:
    return dataclasses.replace(
        job,
        positions=tuple(
            dataclasses.replace(
                position,
                cts=tuple(
                    dataclasses.replace(ct, cores=tuple(change(core) for core in ct.cores))
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
