"""A lead or link that was landed, as the job keeps it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """A lead or link of a landing list that was ticked as landed, by whom and when."""

    landing_id: str
    core_id: str
    procedure_id: str
    lead_id: str
    text: str
    person_id: str
    at_utc: str
    utc_offset_minutes: int
