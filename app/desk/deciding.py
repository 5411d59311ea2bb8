"""Verbs of who decides: the lines to decide, a decision with its reason, void and superseded."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from app.desk.core import DeskCore, OpenJob
from app.desk.exceptions import ExceptionLine, exceptions_of, lines_of
from app.desk.states import row_of, sentence, why_not, words_of_verb
from app.desk.view import Change, Refusal, StepLine
from app.record.act import Act
from ctcore.findings import Finding
from ctcore.job import DECISION_WORDS, Decision, Deviation, Job, JobState


class DecisionVerbs(DeskCore):
    """What a supervisor does with a job that was handed in."""

    def exceptions(self, job_id: str) -> tuple[ExceptionLine, ...]:
        """Every line that wants a decision, worst first; of a frozen job as its record has them."""
        its = self._of(job_id)
        return exceptions_of(its.job, self._findings_to_decide(its))

    def lines(self, job_id: str) -> tuple[ExceptionLine, ...]:
        """Every judged line by core and test, exceptions or not; of a frozen job as its record has them."""
        its = self._of(job_id)
        return lines_of(its.job, self._findings_to_decide(its))

    def findings_to_decide(self, job_id: str) -> tuple[Finding, ...]:
        """Every finding that a decision looks at: of a frozen job those of its record."""
        return self._findings_to_decide(self._of(job_id))

    def steps(self, job_id: str) -> tuple[StepLine, ...]:
        """The steps out of the present state, each with every reason why it is not possible yet."""
        its = self._of(job_id)
        case = self._case(its)
        return tuple(
            StepLine(verb=step.verb, words=step.words, who=step.who, why_not=why_not(case, step.verb))
            for step in row_of(its.job.state).steps
        )

    def why_not(self, job_id: str, verb: str) -> str:
        """Why a step is not possible now, in a sentence; empty where it is."""
        if self.store.read_only_reason:
            return self.store.read_only_reason
        reasons = why_not(self._case(self._of(job_id)), verb)
        return sentence(words_of_verb(verb), reasons) if reasons else ""

    def decide(
        self,
        job_id: str,
        finding_key: str | Sequence[str],
        decision: Decision,
        reason_text: str = "",
        valid_text: str = "",
    ) -> Change:
        """Decide about one line, or about several by one ruling; deciding again replaces what stood.

        A concession says in `valid_text` for how long, or under which terms, it holds.
        """
        its = self._of(job_id)
        keys = [finding_key] if isinstance(finding_key, str) else list(finding_key)
        lines = self._lines_to_decide(its, keys)
        _demand_decision(lines, decision, reason_text.strip(), valid_text.strip())
        if not self.settings.get("person_name_text"):
            raise Refusal("Say first who you are; a decision has a name. Nothing was changed.")
        where: dict[str, object] = {
            "core_id": lines[0].core_id if len(lines) == 1 else "",
            "procedure_id": lines[0].procedure_id if len(lines) == 1 else "",
            "lines": [[line.key, line.core_id, line.procedure_id, line.found_text] for line in lines],
        }
        before = [line.decision for line in lines]
        valid = [valid_text.strip()] if decision == "concession" else []
        act = self._act("decision", its.job, where, before, [decision, reason_text.strip(), *valid])
        new, _ = self._me_as_part(with_decisions(its.job, decisions_of(act)))
        note = f"{DECISION_WORDS[decision].capitalize()} by {self.settings.me()[1]}."
        change = self._write_outline(job_id, new, act, "decision", undoable=False)
        return dataclasses.replace(change, note_text=change.note_text or note)

    def void(self, job_id: str, reason_text: str) -> Change:
        """Say that the job counts for nothing; everything in it is kept."""
        return self._end(job_id, "void", "void", reason_text)

    def supersede(self, job_id: str, by_text: str) -> Change:
        """Say which other job or sheet stands in the place of this one."""
        return self._end(job_id, "supersede", "superseded", by_text)

    def _end(self, job_id: str, verb: str, state: JobState, reason_text: str) -> Change:
        its = self._of(job_id)
        self._demand_step(its, verb)
        if not reason_text.strip():
            raise Refusal("This is done with a reason. Nothing was changed.")
        act = self._act(verb, its.job, {"job_id": job_id}, its.job.state, reason_text.strip())
        return self._move(its, act, state)

    def _move(self, its: OpenJob, act: Act, state: JobState, note_text: str = "") -> Change:
        """Write an act that only moves the job from one state to the next."""
        job_id = its.job.job_id
        self.settle(job_id)
        self.store.append(job_id, act, state=state)
        its.job = dataclasses.replace(its.job, state=state)
        its.undo.clear()
        its.redo.clear()
        self._read_revisions(its)
        return self._changed(its, frozenset(), outline_changed=True, note_text=note_text)

    def _demand_here(self, its: OpenJob) -> None:
        """Refuse where the job is elsewhere, or at its end; who decides may sit at the tester's computer."""
        if self.store.read_only_reason:
            raise Refusal(self.store.read_only_reason)
        case = self._case(its)
        decides_here = its.job.state == "handed_in" and case.me_id != case.tester_id
        if (case.away_text and not decides_here) or not row_of(its.job.state).steps:
            raise Refusal(self._why_locked(its) or "")

    def _lines_to_decide(self, its: OpenJob, keys: Sequence[str]) -> list[ExceptionLine]:
        if self.store.read_only_reason:
            raise Refusal(self.store.read_only_reason)
        if its.job.state != "handed_in":
            raise Refusal(f"Nothing is to be decided: the job is {row_of(its.job.state).words}.")
        case = self._case(its)
        if case.tester_id == case.me_id:
            raise Refusal(
                f"{case.tester_text} tested this job, and somebody else has to decide about it. "
                "Nothing was changed."
            )
        by_key = {line.key: line for line in case.exceptions}
        if not keys or any(key not in by_key for key in keys):
            raise Refusal("There is no such line to decide. Nothing was changed.")
        return [by_key[key] for key in dict.fromkeys(keys)]


def decisions_of(act: Act) -> list[Deviation]:
    """The decisions that an act made: one for each line that it names."""
    return [
        Deviation(
            deviation_id=f"decision/{key}",
            core_id=core_id,
            procedure_id=procedure_id,
            found_text=found_text,
            decision_text=act.to[1],
            person_id=act.person_id,
            at_utc=act.at_utc,
            finding_key=key,
            decision=act.to[0],
            valid_text=act.to[2] if len(act.to) > 2 else "",
        )
        for key, core_id, procedure_id, found_text in act.where["lines"]
    ]


def with_decisions(job: Job, made: Sequence[Deviation]) -> Job:
    """The job with decisions in the place of earlier ones about the same lines."""
    new = {entry.finding_key: entry for entry in made}
    kept = [entry for entry in job.deviations if not entry.finding_key or entry.finding_key not in new]
    return dataclasses.replace(job, deviations=(*kept, *new.values()))


def _demand_decision(
    lines: Sequence[ExceptionLine], decision: Decision, reason_text: str, valid_text: str
) -> None:
    if any(decision not in line.allowed for line in lines):
        line = next(line for line in lines if decision not in line.allowed)
        what = "Outside" if line.verdict == "outside" else "An instrument with an ended calibration"
        raise Refusal(
            f"{what} cannot be accepted as it is: send it back, or grant a concession with a reason. "
            "Nothing was changed."
        )
    if decision != "accepted" and not reason_text:
        words = "What is sent back has" if decision == "sent_back" else "A concession has"
        raise Refusal(f"{words} a reason, which stands in the record. Nothing was changed.")
    if decision == "concession" and not valid_text:
        raise Refusal("A concession says for how long or under which terms it holds. Nothing was changed.")
