"""Undo and redo: each is a new entry in the trail, across readings and plates."""

from __future__ import annotations

import dataclasses

from app.desk.core import OpenJob, OutlineStep, ReadingStep, Step, new_id
from app.desk.merging.bodies import GROWING
from app.desk.reading_index import address_of
from app.desk.readings import ReadingVerbs
from app.desk.view import Change, Refusal
from app.jobstore import Part, job_from_parts, parts_of
from ctcore.job import Reading
from ctcore.takes import standing


class UndoVerbs(ReadingVerbs):
    """Take an act back, or do it again."""

    def undo(self, job_id: str) -> Change:
        """Take back the last act that stands."""
        its = self._of(job_id)
        self._demand_open(its)
        if not its.undo:
            raise Refusal("There is nothing to undo.")
        step = its.undo[-1]
        change_back = self._reverse(job_id, its, step, "undo")
        its.undo.pop()
        its.redo.append(change_back)
        return self._changed_after(its, step)

    def redo(self, job_id: str) -> Change:
        """Do again what was undone last."""
        its = self._of(job_id)
        self._demand_open(its)
        if not its.redo:
            raise Refusal("There is nothing to redo.")
        step = its.redo[-1]
        change_back = self._reverse(job_id, its, step, "redo")
        its.redo.pop()
        its.undo.append(change_back)
        return self._changed_after(its, step)

    def _changed_after(self, its: OpenJob, step: Step) -> Change:
        touched = None
        if isinstance(step, ReadingStep):
            touched = {(entry.core_id, entry.procedure_id) for _, entry in step.entered}
        return self._rejudge(its, touched)

    def _reverse(self, job_id: str, its: OpenJob, step: Step, kind: str) -> Step:
        if isinstance(step, ReadingStep):
            return self._reverse_readings(job_id, its, step, kind)
        return self._reverse_outline(job_id, its, step, kind)

    def _reverse_readings(self, job_id: str, its: OpenJob, step: ReadingStep, kind: str) -> ReadingStep:
        made = [self._restored(its, old, entered) for old, entered in step.entered]
        act = self._act(
            kind,
            its.job,
            {"readings": [entry.reading_id for entry in made]},
            [entered.as_typed_text for _, entered in step.entered],
            [entry.as_typed_text for entry in made],
        )
        receipt = self.store.append(job_id, act, readings=made)
        its.take_in(its.job, receipt.readings)
        pairs = [(entered, new) for (_, entered), new in zip(step.entered, receipt.readings, strict=True)]
        return ReadingStep(step.text, pairs)

    def _restored(self, its: OpenJob, old: Reading | None, entered: Reading) -> Reading:
        """A new reading that puts back what stood before, superseding what stands in the field now."""
        in_force = standing(its.index.in_field(address_of(entered)))[-1]
        if old is None:
            return self._following(
                in_force, as_typed_text="", value_text=None, withdrawn=True, reason_text="undone"
            )
        at_utc, offset = self._stamp()
        return dataclasses.replace(
            old,
            reading_id=new_id(),
            supersedes_id=in_force.reading_id,
            at_utc=at_utc,
            utc_offset_minutes=offset,
            person_id=self.settings.me()[0],
            device_id="",
            device_seq=0,
        )

    def _reverse_outline(self, job_id: str, its: OpenJob, step: OutlineStep, kind: str) -> OutlineStep:
        parts = {part.part_id: part for part in parts_of(its.job)}
        put_back: list[Part] = []
        removed: list[str] = []
        for before, after in step.parts:
            now = parts.pop(after.part_id, None) if after is not None else None
            if before is not None:
                before = _with_grown(before, now)
                parts[before.part_id] = before
                put_back.append(before)
            elif after is not None:
                removed.append(after.part_id)
        job = job_from_parts(list(parts.values()), its.job.readings)
        act = self._act(
            kind, its.job, {"parts": [part.part_id for part in put_back] + removed}, None, step.text
        )
        self.store.append(job_id, act, parts=put_back, removed_parts=removed)
        its.job = dataclasses.replace(job, state=its.job.state)
        return OutlineStep(step.text, [(after, before) for before, after in step.parts])


def _with_grown(before: Part, now: Part | None) -> Part:
    """A part as it was, with what came to its growing lists since: a photograph is never taken back."""
    grown = {name: now.body[name] for name in GROWING if now is not None and name in now.body}
    return dataclasses.replace(before, body=before.body | grown)
