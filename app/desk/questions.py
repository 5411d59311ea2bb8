"""What two computers say differently, in words, and the verb that says which holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from app.desk.core import OpenJob
from app.desk.merging import answered, field_words, open_questions, part_words, value_of, value_words
from app.desk.merging.history import KEEP
from app.desk.readiness import test_words
from app.desk.readings import ReadingVerbs
from app.desk.view import Change, Refusal
from app.desk.wall_clock import moment
from ctcore.errors import BadInput
from ctcore.job import CT, Job, Reading, places
from ctcore.quantities import quantity
from ctcore.question import Answered, Question
from ctcore.takes import Cell, Take

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class SideLine:
    """One of the values that stand against each other, with who said it and when."""

    value_text: str
    who_text: str
    when_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionLine:
    """One field that waits for an answer; `key` is what the answer names."""

    key: tuple[str, str]
    where_text: str
    field_text: str
    sides: tuple[SideLine, ...]
    core_id: str = ""
    procedure_id: str = ""


def disputed_cells(takes: Mapping[tuple[str, str], tuple[Take, ...]]) -> Iterator[Cell]:
    """Every field in which more than one reading stands."""
    for its_takes in takes.values():
        for take in its_takes:
            for row in (take.method, *take.rows):
                yield from (cell for cell in row.cells.values() if cell.disputed)


class QuestionVerbs(ReadingVerbs):
    """After a merge: which of two values holds. Each answer is an act of its own."""

    def questions(self, job_id: str) -> tuple[QuestionLine, ...]:
        """Every field that two computers say differently, readings first."""
        its = self._of(job_id)
        people = {person.person_id: person.name_text for person in its.job.people}
        read = [_reading_line(its.job, people, cell) for cell in disputed_cells(its.takes)]
        return (*read, *(_part_line(its.job, question, field) for question, field in open_questions(its.job)))

    def keep(self, job_id: str, key: tuple[str, str], side: int, reason_text: str) -> Change:
        """Keep one side of a field, with the reason; the other stays to be read, struck."""
        its = self._of(job_id)
        self._demand_open(its)
        if not reason_text.strip():
            raise Refusal("One value is kept with a reason. Nothing was changed.")
        cell = next((one for one in disputed_cells(its.takes) if _key_of(one) == key), None)
        if cell is not None:
            return self._keep_reading(its, cell, side, reason_text.strip())
        for question, field in open_questions(its.job):
            if (question.question_id, field) == key:
                return self._keep_side(its, question, field, side, reason_text.strip())
        raise Refusal("This question was answered already. Nothing was changed.")

    def _keep_reading(self, its: OpenJob, cell: Cell, side: int, reason_text: str) -> Change:
        kept = _of_sides(cell.standing, side)
        if kept.struck and kept.withdrawn:
            raise Refusal("Both were set aside: key the value that holds once more. Nothing was changed.")
        others = [entry for entry in cell.standing if entry is not kept]
        readings = [
            self._following(
                old, as_typed_text="", value_text=None, over_range=False, under_range=False,
                struck=True, withdrawn=True, reason_text=reason_text,
            )
            for old in others
        ]  # fmt: skip
        where: dict[str, object] = {
            "core_id": kept.core_id,
            "procedure_id": kept.procedure_id,
            "readings": [entry.reading_id for entry in others],
            "kept": kept.reading_id,
        }
        said = [entry.as_typed_text for entry in others]
        act = self._act(KEEP, its.job, where, said, [kept.as_typed_text, reason_text])
        job, parts = self._me_as_part(its.job)
        receipt = self.store.append(its.job.job_id, act, readings=readings, parts=parts)
        its.take_in(job, receipt.readings)
        # What was undone before must not come back over the answer.
        its.undo.clear()
        its.redo.clear()
        return self._rejudge(its, {(kept.core_id, kept.procedure_id)})

    def _keep_side(self, its: OpenJob, question: Question, field: str, side: int, reason_text: str) -> Change:
        kept = _of_sides(question.sides, side)
        if field and not kept.body_text:
            raise Refusal("That side took it out: answer “kept or taken out”. Nothing was changed.")
        at_utc, offset = self._stamp()
        answer = Answered(
            field=field,
            kept=side,
            reason_text=reason_text,
            person_id=self.settings.me()[0],
            at_utc=at_utc,
            utc_offset_minutes=offset,
        )
        try:
            new = answered(self._me_as_part(its.job)[0], question, answer)
        except BadInput as problem:
            raise Refusal("What stands on it has to be answered first. Nothing was changed.") from problem
        self._demand_readings_kept(new)
        line = _part_line(its.job, question, field)
        said = [one.value_text for index, one in enumerate(line.sides) if index != side]
        act = self._act(
            KEEP, its.job, {"part_id": question.part_id, "field": field}, said,
            [f"{line.where_text}, {line.field_text}", line.sides[side].value_text, reason_text],
        )  # fmt: skip
        its.undo.clear()
        its.redo.clear()
        # The event says what holds, also where that stood already: another answer apart from it must be seen.
        return self._write_outline(its.job.job_id, new, act, "answer", undoable=False, also=question.part_id)

    def _demand_readings_kept(self, new: Job) -> None:
        cores = {place.core.core_id for place in places(new)}
        if any(entry.core_id not in cores for entry in new.readings):
            raise Refusal("Readings stand on it, so it stays. Nothing was changed.")


def _of_sides(sides: tuple[T, ...], side: int) -> T:
    if not 0 <= side < len(sides):
        raise Refusal("There is no such value. Nothing was changed.")
    return sides[side]


def _key_of(cell: Cell) -> tuple[str, str]:
    return "reading", " ".join(sorted(entry.reading_id for entry in cell.standing))


def _reading_line(job: Job, people: Mapping[str, str], cell: Cell) -> QuestionLine:
    first = cell.standing[0]
    row = f", row {first.row}" if first.row.isdigit() else ""
    return QuestionLine(
        key=_key_of(cell),
        where_text=test_words(job, first.core_id, first.procedure_id),
        field_text=f"{quantity(first.quantity_id).name}, take {first.take}{row}",
        sides=tuple(_side_of(entry, people) for entry in cell.standing),
        core_id=first.core_id,
        procedure_id=first.procedure_id,
    )


def _side_of(entry: Reading, people: Mapping[str, str]) -> SideLine:
    return SideLine(
        value_text="struck" if entry.struck else "withdrawn" if entry.withdrawn else entry.as_typed_text,
        who_text=people.get(entry.person_id, entry.person_id),
        when_text=moment(entry.at_utc, entry.utc_offset_minutes),
    )


def _part_line(job: Job, question: Question, field: str) -> QuestionLine:
    ct = _ct_of(job, question)
    return QuestionLine(
        key=(question.question_id, field),
        where_text=part_words(job, question),
        field_text=field_words(question, field),
        sides=tuple(
            SideLine(
                value_text=value_words(field if side.body_text else "", value_of(question, index, field)),
                who_text=side.person_text,
                when_text=moment(side.at_utc, side.utc_offset_minutes),
            )
            for index, side in enumerate(question.sides)
        ),
        core_id=ct.cores[0].core_id if ct is not None and ct.cores else "",
    )


def _ct_of(job: Job, question: Question) -> CT | None:
    wanted = question.part_id.removeprefix("ct:")
    return next((place.ct for place in places(job) if place.ct.ct_id == wanted), None)
