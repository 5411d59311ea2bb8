"""Answering a question of a merge: one side of a field is kept, the other stays readable there."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

from app.desk.merging.bodies import MISSING, value_at, with_field
from app.desk.merging.said import as_parts
from app.jobstore import Part, job_from_parts
from ctcore.job import Job
from ctcore.question import Answered, Question


def open_questions(job: Job) -> tuple[tuple[Question, str], ...]:
    """Each field of each question that nobody has answered yet."""
    return tuple((question, field) for question in job.questions for field in question.open_fields)


def value_of(question: Question, side: int, field: str) -> Any:
    """What a side says in a field; None where it has no such entry."""
    text = question.sides[side].body_text
    if not field:
        return bool(text)
    if not text:
        return None
    found = value_at(json.loads(text), field)
    return None if found is MISSING else found


def answered(job: Job, question: Question, answer: Answered) -> Job:
    """The job with one field as the side that is kept has it, and the question with its answer."""
    parts = as_parts(job)
    text = question.sides[answer.kept].body_text
    current = parts.get(question.part_id)
    kept = {name: part for name, part in parts.items() if name != question.part_id}
    if text and not answer.field:
        kept[question.part_id] = current or _again(question, json.loads(text))
    elif text and current is not None:
        body = with_field(current.body, answer.field, json.loads(text))
        kept[question.part_id] = dataclasses.replace(current, body=body)
    settled = dataclasses.replace(question, answers=(*question.answers, answer))
    questions = tuple(settled if one.question_id == question.question_id else one for one in job.questions)
    made = job_from_parts(kept.values(), job.readings)
    return dataclasses.replace(made, questions=questions, state=job.state)


def _again(question: Question, body: dict[str, Any]) -> Part:
    kind = question.part_id.partition(":")[0]
    return Part(question.part_id, kind, 1_000_000, body)  # type: ignore[arg-type]
