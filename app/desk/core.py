"""What every verb shares: the open jobs, the clock, the writing of a change with its event."""

from __future__ import annotations

import dataclasses
import time
import uuid
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final

from app.desk.clock_watch import ClockWatch, clock_remark, gone_text, steady_s
from app.desk.exceptions import exceptions_of
from app.desk.journey import Away, Journey, journey_of
from app.desk.reading_index import ReadingIndex
from app.desk.results import CoreResult, DerivedByTake, FindingsByCore, InputDigests
from app.desk.states import Case, row_of, sentence, why_not, words_of_verb
from app.desk.training import RECORD_STEPS, refuse_step
from app.desk.view import Change, Refusal, RevisionLine, View
from app.jobstore import JobLine, Part, Store, changes, part_id_of, parts_of
from app.record.act import Act
from app.record.revision import Record, from_bytes
from app.settings import Settings
from ctcore.findings import Finding
from ctcore.job import Job, JobState, Person, Reading, places
from ctcore.judge import RULES_VERSION, touched_by
from ctcore.takes import Take, takes_of


@dataclass(slots=True)
class ReadingStep:
    """Readings that one act put in force, each with the one that stood in its field before."""

    text: str
    entered: Sequence[tuple[Reading | None, Reading]]


@dataclass(slots=True)
class OutlineStep:
    """Parts of the job that one act changed: as they were, and as they became; None where there was none."""

    text: str
    parts: list[tuple[Part | None, Part | None]]


Step = ReadingStep | OutlineStep


@dataclass(slots=True)
class OpenJob:
    """One job in memory: always equal to what the store holds."""

    job: Job
    takes: dict[tuple[str, str], tuple[Take, ...]]
    results: dict[str, CoreResult] = field(default_factory=dict)
    digests: dict[str, str] = field(default_factory=dict)
    input_digests: InputDigests = field(default_factory=InputDigests)
    revisions: tuple[RevisionLine, ...] = ()
    unsaved_findings: set[str] = field(default_factory=set)
    undo: list[Step] = field(default_factory=list)
    redo: list[Step] = field(default_factory=list)
    instruments: dict[tuple[str, str], str] = field(default_factory=dict)
    last_record: Record | None = None
    journey: Journey = field(default_factory=Journey)
    _index: ReadingIndex | None = None

    @property
    def index(self) -> ReadingIndex:
        """The readings by field; made when the first one is asked for."""
        if self._index is None:
            self._index = ReadingIndex(self.job.readings)
        return self._index

    def take_in(self, job: Job, readings: Sequence[Reading]) -> None:
        """Hold the job as it became, with these readings more."""
        self.takes |= self.index.add(readings, self.takes)
        self.job = dataclasses.replace(job, readings=(*job.readings, *readings))

    @property
    def findings(self) -> FindingsByCore:
        """Findings by core."""
        return FindingsByCore(dict(self.results))

    @property
    def derived(self) -> DerivedByTake:
        """Derived values by core, test and take."""
        return DerivedByTake(dict(self.results))


# So many cores are judged before an answer is given; of more the rest is judged between other verbs.
AT_ONCE: Final = 60
# What people say about a job: no judgement looks at it.
_NOT_JUDGED: Final = ("acknowledgement", "remark", "deviation", "person", "landing")


def _now() -> datetime:
    return datetime.now(UTC).astimezone()


class DeskCore:
    """Holds the store and the open jobs; the verbs stand in the subclasses, by subject."""

    def __init__(
        self,
        store: Store,
        settings: Settings,
        *,
        clock: Callable[[], datetime] = _now,
        steady: Callable[[], float] | None = None,
    ) -> None:
        self.store = store
        self.settings = settings
        self._clock = clock
        self._watch = ClockWatch(steady_s if clock is _now else steady)
        self._open: dict[str, OpenJob] = {}

    # Looking

    def jobs(self) -> list[JobLine]:
        """A line per job in the store, the one changed last first."""
        return self.store.jobs()

    def open_job(self, job_id: str) -> View:
        """The job with its findings; stored findings are used where their input has not changed since."""
        if job_id not in self._open:
            self._open[job_id] = self._load(job_id)
        return self.view(job_id)

    def view(self, job_id: str) -> View:
        """The present picture of an open job."""
        its = self._of(job_id)
        findings = its.findings
        return View(
            job=its.job,
            takes=dict(its.takes),
            findings=findings,
            derived=its.derived,
            stale_core_ids=findings.stale(),
            read_only_reason=self._why_locked(its),
            away_text=away.words if (away := self._away(its)) else "",
            revisions=its.revisions,
            can_undo_text=its.undo[-1].text if its.undo else None,
            can_redo_text=its.redo[-1].text if its.redo else None,
        )

    def settle(self, job_id: str) -> None:
        """Save the findings that were judged since they were last saved."""
        its = self._of(job_id)
        if self.store.read_only:
            return
        if its.unsaved_findings:
            # What still waits for its judgement is saved after it; the digest stored tells that it is stale.
            waiting = its.findings.stale()
            its.digests = its.input_digests.of(its.job)
            judged = [
                (core_id, result.findings, its.digests[core_id])
                for core_id, result in its.results.items()
                if core_id in its.unsaved_findings and core_id not in waiting
            ]
            self.store.save_many_findings(job_id, judged, rules_version=RULES_VERSION)
            its.unsaved_findings &= waiting

    def close_job(self, job_id: str) -> None:
        """Save what is judged and let go of the job; its undo ends here."""
        if job_id in self._open:
            self.settle(job_id)
            del self._open[job_id]

    # Writing

    def _of(self, job_id: str) -> OpenJob:
        if job_id not in self._open:
            self._open[job_id] = self._load(job_id)
        its = self._open[job_id]
        gone_s = self._watch.gone_s(self._clock)
        if gone_s and not self.store.read_only:
            self._note_clock(its, gone_s)
        return its

    def _note_clock(self, its: OpenJob, gone_s: float) -> None:
        """Record that the computer's clock was put; on a sheet that is still open it stands as a remark."""
        act = self._act("clock", its.job, {}, None, {"gone_s": round(gone_s), "gone_text": gone_text(gone_s)})
        job = its.job
        if self._why_locked(its) is None:
            job = self._me_as_part(job)[0]
            job = dataclasses.replace(job, remarks=(*job.remarks, clock_remark(act)))
        self.store.append(job.job_id, act, parts=changes(its.job, job)[0])
        its.job = job

    def _away(self, its: OpenJob) -> Away | None:
        return its.journey.away_from(self.settings.me()[0])

    def _why_locked(self, its: OpenJob) -> str | None:
        if self.store.read_only_reason:
            return self.store.read_only_reason
        away, row = self._away(its), row_of(its.job.state)
        if away is not None:
            return f"This job is {away.words}. Here you can look, not write."
        if row.locked and not row.steps:
            return f"This job is {row.words}. Nothing in it changes any more."
        if row.locked:
            return f"This revision is {row.words} and frozen. Start a new revision to change it."
        return None

    def _demand_open(self, its: OpenJob) -> None:
        reason = self._why_locked(its)
        if reason:
            raise Refusal(reason)

    def _demand_step(self, its: OpenJob, verb: str) -> None:
        """Refuse a step that is not permitted now, with the first reason."""
        if self.store.read_only_reason:
            raise Refusal(self.store.read_only_reason)
        if verb in RECORD_STEPS and self._practised(its):
            raise refuse_step(words_of_verb(verb))
        reasons = why_not(self._case(its), verb)
        if reasons:
            raise Refusal(sentence(words_of_verb(verb), reasons))

    def _practised(self, its: OpenJob) -> bool:
        """Whether this is training, or a job that was made there and came back with a copy of its store."""
        return self.settings.training or its.job.header.training

    def _case(self, its: OpenJob) -> Case:
        """What the table of steps looks at; of a locked job the findings are those of its record."""
        record, away = its.last_record, self._away(its)
        findings = self._findings_to_decide(its)
        return Case(
            job=its.job,
            takes=its.takes,
            findings=findings,
            exceptions=exceptions_of(its.job, findings),
            me_id=self.settings.me()[0],
            tester_id=record.declaration.person_id if record else None,
            tester_text=record.declaration.name_text if record else "",
            signed=record is not None and record.revision in its.journey.tested,
            away_text=away.words if away else "",
            training=self._practised(its),
        )

    def _findings_to_decide(self, its: OpenJob) -> tuple[Finding, ...]:
        if its.last_record is not None and row_of(its.job.state).locked:
            return its.last_record.findings
        return tuple(self._findings_of(its))

    def _findings_of(self, its: OpenJob) -> list[Finding]:
        return [finding for place in places(its.job) for finding in its.findings[place.core.core_id]]

    def _act(self, kind: str, job: Job, where: dict[str, object], from_: object, to: object) -> Act:
        person_id, name_text = self.settings.me()
        at_utc, offset = self._stamp()
        return Act(
            kind=kind,
            person_id=person_id,
            person_name_text=name_text,
            at_utc=at_utc,
            utc_offset_minutes=offset,
            zone=job.header.zone,
            where=where,
            from_=from_,
            to=to,
        )

    def _stamp(self) -> tuple[str, int]:
        now = self._clock()
        offset = now.utcoffset()
        at_utc = now.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        return at_utc, int(offset.total_seconds() // 60) if offset else 0

    def _me_as_part(self, job: Job) -> tuple[Job, list[Part]]:
        """The job with the person at this computer among its people, and the part to save where it is new."""
        person_id, name_text = self.settings.me()
        known = next((person for person in job.people if person.person_id == person_id), None)
        if known is not None and known.name_text == name_text:
            return job, []
        me = Person(
            person_id=person_id, name_text=name_text, employer_text=self.settings.get("organisation_text")
        )
        people = (*(person for person in job.people if person.person_id != person_id), me)
        changed = dataclasses.replace(job, people=people)
        mine = part_id_of("person", person_id)
        return changed, [part for part in parts_of(changed) if part.part_id == mine]

    def _enter(self, job_id: str, act: Act, readings: Sequence[Reading], text: str) -> Change:
        """Save readings with their event, judge again what they touch, and remember how to undo them."""
        its = self._of(job_id)
        before = [its.index.superseded_by(entry) for entry in readings]
        job, parts = self._me_as_part(its.job)
        state: JobState | None = "being_tested" if job.state == "planned" else None
        receipt = self.store.append(job_id, act, readings=readings, parts=parts, state=state)
        its.take_in(dataclasses.replace(job, state=state or job.state), receipt.readings)
        entered = list(zip(before, receipt.readings, strict=True))
        its.undo.append(ReadingStep(text, entered))
        its.redo.clear()
        return self._rejudge(its, {(entry.core_id, entry.procedure_id) for entry in receipt.readings})

    def _write_outline(
        self, job_id: str, new: Job, act: Act, text: str, *, undoable: bool = True, also: str = ""
    ) -> Change:
        """Save the parts of the job that differ, and `also` where it does not, with the event; judge."""
        its = self._of(job_id)
        changed, removed = changes(its.job, new)
        if also and also not in _ids(changed):
            changed += [part for part in parts_of(new) if part.part_id == also]
        if not changed and not removed:
            return self._changed(its, frozenset(), note_text="Nothing was changed.")
        old_parts = {part.part_id: part for part in parts_of(its.job)}
        self.store.append(job_id, act, parts=changed, removed_parts=removed)
        if undoable:
            pairs = [(old_parts.get(part.part_id), part) for part in changed]
            its.undo.append(OutlineStep(text, [*pairs, *((old_parts[part_id], None) for part_id in removed)]))
            its.redo.clear()
        its.job = dataclasses.replace(new, readings=its.job.readings)
        if all(part_id.partition(":")[0] in _NOT_JUDGED for part_id in (*removed, *_ids(changed))):
            return self._changed(its, frozenset(), outline_changed=True)
        return self._rejudge(its, None)

    # Judging

    def _load(self, job_id: str) -> OpenJob:
        job = self.store.load(job_id)
        its = OpenJob(job, takes_of(job.readings))
        for entry in job.readings:
            if entry.instrument_id:
                its.instruments[(entry.procedure_id, entry.quantity_id)] = entry.instrument_id
        self._read_revisions(its)
        stored = self.store.findings(job_id)
        its.digests = its.input_digests.of(job)
        takes, all_places = dict(its.takes), places(job)
        for place in all_places:
            core_id = place.core.core_id
            kept = stored.get(core_id)
            fresh = (
                kept is not None
                and kept.rules_version == RULES_VERSION
                and kept.input_digest == its.digests[core_id]
            )
            its.results[core_id] = CoreResult(job, place, takes=takes, stored=kept, stale=not fresh)
            if not fresh:
                its.unsaved_findings.add(core_id)
        if len(all_places) <= AT_ONCE:
            self._judge_stale(its)
        return its

    def judge_stale(self, job_id: str, *, seconds: float = 0.1) -> Change:
        """Judge again some of what changed since it was last judged: as much as fits into that time."""
        its = self._of(job_id)
        change = self._changed(its, self._judge_stale(its, until=time.monotonic() + seconds))
        return dataclasses.replace(change, saved_at_text="")

    def _judge_stale(self, its: OpenJob, until: float | None = None) -> frozenset[str]:
        judged: set[str] = set()
        for core_id in sorted(its.findings.stale()):
            if judged and until is not None and time.monotonic() > until:
                break
            # Asking for the findings is what judges them.
            _ = its.results[core_id].findings
            judged.add(core_id)
        return frozenset(judged)

    def _read_revisions(self, its: OpenJob) -> None:
        """Learn what is frozen and signed of the job, and where it is."""
        job_id = its.job.job_id
        lines = []
        stored_revisions = self.store.revisions(job_id)
        its.journey = journey_of(self.store.events(job_id)) if stored_revisions else Journey()
        for stored in stored_revisions:
            its.last_record = from_bytes(stored.record_bytes)
            lines.append(
                RevisionLine(
                    revision=stored.revision,
                    digest_hex=stored.digest,
                    frozen_at_utc=stored.frozen_at_utc,
                    name_text=its.last_record.declaration.name_text,
                    reason_text=its.last_record.reason_text,
                    signed=stored.revision in its.journey.tested,
                )
            )
        its.revisions = tuple(lines)

    def _rejudge(self, its: OpenJob, touched: set[tuple[str, str]] | None) -> Change:
        """Judge again what readings of the (core, procedure) pairs can reach; everything where it is None."""
        if touched is None:
            return self._changed(its, self._outline_judged(its), outline_changed=True)
        reached = frozenset[str]().union(*(touched_by(its.job, core_id) for core_id, _ in touched))
        judged = [place for place in places(its.job) if place.core.core_id in reached]
        now = dict(its.takes)
        for place in judged:
            its.results[place.core.core_id] = result = CoreResult(its.job, place, takes=now)
            # What a reading changed is judged here, on the thread that writes, not by the one that draws.
            _ = result.findings, result.derived
        core_ids = frozenset(place.core.core_id for place in judged)
        its.unsaved_findings |= core_ids
        return self._changed(its, core_ids)

    def _outline_judged(self, its: OpenJob) -> frozenset[str]:
        """Judge again every core whose plate or terms changed; of many at once the rest waits its turn."""
        its.takes = takes_of(its.job.readings)
        before, old = its.digests, its.results
        its.digests = its.input_digests.of(its.job)
        now = dict(its.takes)
        its.results = {}
        changed = set()
        for place in places(its.job):
            core_id = place.core.core_id
            known = old.get(core_id)
            if known is not None and before.get(core_id) == its.digests[core_id]:
                its.results[core_id] = known
                continue
            changed.add(core_id)
            new = CoreResult(its.job, place, takes=now, stale=True)
            its.results[core_id] = new if known is None else known.aged(its.job, place, takes=now)
        its.unsaved_findings = (its.unsaved_findings & its.results.keys()) | changed
        if len(changed) <= AT_ONCE:
            self._judge_stale(its)
        return frozenset(changed)

    def _changed(
        self, its: OpenJob, core_ids: frozenset[str], *, outline_changed: bool = False, note_text: str = ""
    ) -> Change:
        return Change(
            view=self.view(its.job.job_id),
            core_ids=core_ids,
            outline_changed=outline_changed,
            note_text=note_text,
            saved_at_text=self._clock().strftime("%H:%M:%S"),
        )


def _ids(parts: Sequence[Part]) -> list[str]:
    return [part.part_id for part in parts]


def new_id() -> str:
    """A fresh identifier."""
    return str(uuid.uuid4())
