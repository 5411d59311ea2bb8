"""A landing list that was ticked, lead by lead, before the caution of its test was read."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from ctcore.hookup import leads_of, setup_of
from ctcore.job import Job, Place
from ctcore.landing import Landing
from ctcore.takes import takes_of

_EVERY_S = 20


def landed(job: Job, place: Place, procedure_id: str) -> Job:
    """The job with every lead of the last take of a test ticked."""
    core_id = place.core.core_id
    setup = setup_of(place.ct, place.core, procedure_id, takes_of(job.readings)[(core_id, procedure_id)][-1])
    assert setup is not None
    leads = leads_of(setup)
    read = next(
        one for one in job.acknowledgements if (one.core_id, one.procedure_id) == (core_id, procedure_id)
    )
    made = [
        Landing(
            landing_id=f"landing-{number}",
            core_id=core_id,
            procedure_id=procedure_id,
            lead_id=lead.lead_id,
            text=f"{lead.from_text} to {lead.to_text}",
            person_id=read.person_id,
            at_utc=_before(read.at_utc, _EVERY_S * (len(leads) - number)),
            utc_offset_minutes=read.utc_offset_minutes,
        )
        for number, lead in enumerate(leads)
    ]
    return replace(job, landings=(*job.landings, *made))


def _before(at_utc: str, seconds: int) -> str:
    at = datetime.fromisoformat(at_utc) - timedelta(seconds=seconds)
    return at.isoformat(timespec="milliseconds").replace("+00:00", "Z")
