"""What two computers say differently of one part of a job, open until a person has answered."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One of the forms that stand against each other: what it says, who said it and when.

    `body_text` is the part as canonical JSON, empty where it was taken out; `events` name the entries of the
    trail that brought it, each as device and number.
    """

    person_text: str
    at_utc: str
    utc_offset_minutes: int
    events: tuple[str, ...]
    body_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """Which side was kept for one field, why, by whom and when."""

    field: str
    kept: int
    reason_text: str
    person_id: str
    at_utc: str
    utc_offset_minutes: int


# What of the title block enters a judgement.
_JUDGED_BY = ("frequency_rated_hz", "phase_names")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A part of the job that two computers changed apart from each other, with the fields that differ.

    An empty field is the part itself: kept or taken out. Every side stays with the job once all is answered.
    """

    question_id: str
    part_id: str
    fields: tuple[str, ...]
    sides: tuple[Side, ...]
    answers: tuple[Answered, ...] = ()

    @property
    def open_fields(self) -> tuple[str, ...]:
        """The fields that nobody has answered yet; none of a part that was said to be taken out."""
        kept = [side for one in self.answers if not one.field for side in self.sides[one.kept : one.kept + 1]]
        if any(not side.body_text for side in kept):
            return ()
        answered = {one.field for one in self.answers}
        return tuple(field for field in self.fields if field not in answered)

    def is_open_about(self, position_id: str, ct_id: str) -> bool:
        """Whether what a transformer is judged by is not settled: its plate, its place, the limits."""
        if self.part_id == "header":
            return any(field in _JUDGED_BY for field in self.open_fields)
        about = ("references", f"position:{position_id}", f"ct:{ct_id}")
        return self.part_id in about and bool(self.open_fields)
