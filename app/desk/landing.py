"""The landing list of a test: each lead ticked as it is landed, by whom and when, or taken off again."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from app.desk.core import DeskCore, new_id
from app.desk.view import Change, Refusal
from ctcore.hookup import Drawing, Lead, circuit_of, leads_of, setup_of
from ctcore.job import METHOD_ROW, Job, places
from ctcore.landing import Landing
from ctcore.takes import Row, Take


@dataclass(frozen=True, slots=True)
class LeadLine:
    """One lead of the list, and who ticked it where somebody did."""

    lead: Lead
    landing: Landing | None


@dataclass(frozen=True, slots=True)
class Hookup:
    """How one test of one core is wired; `drawing` is None for a test that needs no lead."""

    core_id: str
    procedure_id: str
    drawing: Drawing | None
    leads: tuple[LeadLine, ...]

    @property
    def landed_count(self) -> int:
        """How many leads are ticked."""
        return sum(line.landing is not None for line in self.leads)


def hookup_of(job: Job, core_id: str, procedure_id: str, take: Take | None = None) -> Hookup:
    """Drawing and landing list of a test, from the plate; another core begins with nothing ticked."""
    place = next(entry for entry in places(job) if entry.core.core_id == core_id)
    shown = take if take is not None else Take(core_id, procedure_id, 1, Row(METHOD_ROW, {}))
    setup = setup_of(place.ct, place.core, procedure_id, shown)
    if setup is None:
        return Hookup(core_id, procedure_id, None, ())
    ticked = {
        entry.lead_id: entry
        for entry in job.landings
        if (entry.core_id, entry.procedure_id) == (core_id, procedure_id)
    }
    lines = tuple(LeadLine(lead, ticked.get(lead.lead_id)) for lead in leads_of(setup))
    return Hookup(core_id, procedure_id, circuit_of(setup), lines)


class LandingVerbs(DeskCore):
    """Ticking leads."""

    def tick_lead(self, job_id: str, core_id: str, procedure_id: str, lead: Lead) -> Change:
        """Note that a lead is landed; of one that is noted already, that it was taken off."""
        its = self._of(job_id)
        self._demand_open(its)
        if all(place.core.core_id != core_id for place in places(its.job)):
            raise Refusal("The job has no such core any more. Nothing was changed.")
        ticked = [
            entry
            for entry in its.job.landings
            if (entry.core_id, entry.procedure_id, entry.lead_id) == (core_id, procedure_id, lead.lead_id)
        ]
        where: dict[str, object] = {"core_id": core_id, "procedure_id": procedure_id}
        words = f"{lead.from_text} to {lead.to_text}"
        if ticked:
            kept = tuple(entry for entry in its.job.landings if entry not in ticked)
            act = self._act("landing_off", its.job, where, words, None)
            return self._write_outline(
                job_id, dataclasses.replace(its.job, landings=kept), act, "lead taken off"
            )
        at_utc, offset = self._stamp()
        made = Landing(
            landing_id=new_id(),
            core_id=core_id,
            procedure_id=procedure_id,
            lead_id=lead.lead_id,
            text=words,
            person_id=self.settings.me()[0],
            at_utc=at_utc,
            utc_offset_minutes=offset,
        )
        new, _ = self._me_as_part(dataclasses.replace(its.job, landings=(*its.job.landings, made)))
        act = self._act("landing", its.job, where, None, words)
        return self._write_outline(job_id, new, act, "lead landed")
