"""A planned test that is set not applicable on a core, with its reason."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A test that was planned and is not done on this core: why, by whom and when it was said."""

    procedure_id: str
    reason_text: str
    person_id: str = ""
    at_utc: str = ""
    utc_offset_minutes: int = 0
