"""The table of states, by itself and under random walks over a real store."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from app.desk import Desk, Refusal
from app.desk.states import STATES, Case, row_of, sentence, step_of, why_not
from app.record import envelope
from ctcore.job import Header, Job, JobState
from tests.app.desk import making

EDGES = {(row.state, step.to) for row in STATES for step in row.steps}
PERMITTED: set[tuple[JobState, JobState]] = {
    ("planned", "being_tested"),
    ("planned", "handed_in"),
    ("planned", "void"),
    ("being_tested", "being_tested"),
    ("being_tested", "handed_in"),
    ("being_tested", "void"),
    ("handed_in", "sent_back"),
    ("handed_in", "approved"),
    ("handed_in", "being_tested"),
    ("handed_in", "void"),
    ("sent_back", "being_tested"),
    ("sent_back", "handed_in"),
    ("sent_back", "void"),
    ("approved", "issued"),
    ("approved", "being_tested"),
    ("approved", "void"),
    ("issued", "being_tested"),
    ("issued", "superseded"),
    ("issued", "void"),
}


def test_the_table_has_a_row_for_every_state_and_the_words_of_the_screen() -> None:
    assert [row.words for row in STATES] == [
        "planned",
        "being tested",
        "handed in",
        "sent back",
        "approved",
        "issued",
        "superseded",
        "void",
    ]


def test_the_steps_are_those_that_were_agreed_and_no_others() -> None:
    assert EDGES == PERMITTED


@pytest.mark.parametrize("state", ["superseded", "void"])
def test_nothing_leads_out_of_an_end(state: JobState) -> None:
    assert row_of(state).steps == ()


def test_every_verb_of_the_table_is_a_verb_of_the_desk() -> None:
    assert {step.verb for row in STATES for step in row.steps} <= set(dir(Desk))


def test_nothing_is_issued_that_was_not_approved() -> None:
    assert {row.state for row in STATES if step_of(row.state, "issue")} == {"approved"}


def test_a_step_of_another_state_names_the_state() -> None:
    case = Case(job=Job(job_id="j", header=Header(number_text="1"), state="void"))

    assert why_not(case, "hand_in") == ("the job is void",)


def test_reasons_are_told_with_how_many_more_there_are() -> None:
    assert sentence("Hand in", ["a is missing", "b is missing"]) == (
        "Hand in is not possible yet: a is missing (and 1 more)."
    )


def test_who_tested_takes_no_step_of_who_decides() -> None:
    case = Case(
        job=Job(job_id="j", header=Header(number_text="1"), state="approved"),
        me_id="p1",
        tester_id="p1",
        tester_text="T. Adder",
    )

    assert why_not(case, "issue") == ("T. Adder tested this job, and somebody else has to decide about it",)


class Walk(RuleBasedStateMachine):
    """One store, two people who take turns at it, every verb at any time."""

    keys: Path
    reached: set[JobState]

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.clock = making.Clock()
        self.seat = making.seat(Path(self.folder.name), making.TESTER, self.clock, self.keys)
        self.desk = self.seat.desk
        self.job_id = making.complete_job(self.desk, ohms="2.90")
        self.desk.close_job(self.job_id)
        self.states: list[JobState] = [self.state()]
        self.readings_count = self.count()

    def teardown(self) -> None:
        self.seat.close()
        self.folder.cleanup()

    def state(self) -> JobState:
        """The state as the store has it."""
        return self.seat.store.load(self.job_id).state

    def count(self) -> int:
        """How many readings the store has."""
        return len(self.seat.store.load(self.job_id).readings)

    def attempt(self, act: object) -> None:
        """One act; a refusal is an answer too."""
        before = self.state()
        try:
            act()  # type: ignore[operator]
        except Refusal as refused:
            self.refused = refused.sentence
            after_refusal = self.state()
            assert (after_refusal, bool(self.refused.strip())) == (before, True)
        self.states.append(self.state())
        self.reached.add(self.state())

    @rule(name_text=st.sampled_from((making.TESTER, making.APPROVER)))
    def sit_down(self, name_text: str) -> None:
        self.desk.settings.change(person_id=name_text.lower().replace(". ", "-"), person_name_text=name_text)

    @rule(chosen=st.integers(0, 9), steps_count=st.integers(1, 4))
    def go_on(self, chosen: int, steps_count: int) -> None:
        """Steps that the table permits, by who may take them: so walks get to the far end too."""
        for _ in range(steps_count):
            self.one_step(chosen)

    def one_step(self, chosen: int) -> None:
        """The first step that is permitted, after everything is decided."""
        acts = {
            "hand_in": self.hand_in,
            "send_back": self.send_back,
            "approve": self.approve,
            "issue": self.issue,
        }
        self.sit_down(self.whose(chosen))
        if self.state() == "handed_in":
            self.decide("concession" if chosen % 3 else "sent_back")
        for line in self.desk.steps(self.job_id):
            if not line.why_not and line.verb in acts:
                acts[line.verb]()
                return

    def whose(self, chosen: int) -> str:
        """The tester before the job is handed in, mostly the approver after."""
        locked = row_of(self.state()).locked
        return making.APPROVER if locked and chosen else making.TESTER

    @rule(ohms=st.sampled_from(("2.10", "2.90", "2x")))
    def key(self, ohms: str) -> None:
        locked = row_of(self.state()).locked
        before = self.count()
        address = making.ohms_cell(self.desk, self.job_id)
        self.attempt(lambda: self.desk.key(self.job_id, address, ohms))
        assert not locked or self.count() == before

    @rule()
    def hand_in(self) -> None:
        self.attempt(lambda: self.desk.hand_in(self.job_id, making.PASSPHRASE, making.APPROVER))

    @rule()
    def freeze(self) -> None:
        self.attempt(lambda: self.desk.freeze(self.job_id))

    @rule()
    def revise(self) -> None:
        self.attempt(lambda: self.desk.revise(self.job_id, "once more"))

    @rule()
    def take_back(self) -> None:
        self.attempt(lambda: self.desk.take_back(self.job_id, "forgot a tap"))

    @rule(decision=st.sampled_from(("accepted", "sent_back", "concession")))
    def decide(self, decision: str) -> None:
        keys = [line.key for line in self.desk.exceptions(self.job_id)]
        self.attempt(lambda: self.desk.decide(self.job_id, keys, decision, "because", "a year"))  # type: ignore[arg-type]

    @rule()
    def send_back(self) -> None:
        self.attempt(lambda: self.desk.send_back(self.job_id, making.PASSPHRASE))

    @rule()
    def approve(self) -> None:
        self.attempt(lambda: self.desk.approve(self.job_id, making.PASSPHRASE))

    @rule()
    def issue(self) -> None:
        self.attempt(lambda: self.desk.issue(self.job_id, making.PASSPHRASE))

    @rule()
    def supersede(self) -> None:
        self.attempt(lambda: self.desk.supersede(self.job_id, "sheet 78"))

    @rule(wanted=st.integers(0, 9))
    def void(self, wanted: int) -> None:
        if wanted == 0:  # rarely, or most walks would be over before they began
            self.attempt(lambda: self.desk.void(self.job_id, "wrong bay"))

    @rule()
    def undo(self) -> None:
        locked = row_of(self.state()).locked
        before = self.count()
        self.attempt(lambda: self.desk.undo(self.job_id))
        assert not locked or self.count() == before

    @invariant()
    def only_permitted_steps_were_taken(self) -> None:
        taken = set(zip(self.states, self.states[1:], strict=False))
        assert {edge for edge in taken if edge[0] != edge[1]} <= PERMITTED

    @invariant()
    def nothing_approved_is_unsigned_or_of_one_person(self) -> None:
        if self.state() in ("approved", "issued"):
            assert self.desk.view(self.job_id).revisions[-1].signed
            kinds = {event.act.kind: event.act.person_id for event in self.seat.store.events(self.job_id)}
            assert kinds["approve"] != kinds["sign"]


def test_no_walk_leaves_the_table(keys: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from hypothesis.stateful import run_state_machine_as_test

    monkeypatch.setattr(envelope, "MEMORY_KIB", 64)
    # Drawing and signing sheets is tested elsewhere; here it would be most of the time.
    monkeypatch.setattr(Desk, "_certified", lambda *_, **__: b"%PDF-tested")
    monkeypatch.setattr(Desk, "_countersigned", lambda *_, **__: b"%PDF-approved")
    monkeypatch.setattr(Walk, "keys", keys, raising=False)
    monkeypatch.setattr(Walk, "reached", set(), raising=False)
    run_state_machine_as_test(
        Walk,
        settings=settings(
            max_examples=12,
            stateful_step_count=20,
            deadline=None,
            phases=(Phase.generate,),
            derandomize=True,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    assert {"handed_in", "sent_back", "approved", "issued"} <= Walk.reached


CHANGING = {
    "key": lambda desk, job_id: desk.key(job_id, making.ohms_cell(desk, job_id), "2.0"),
    "strike_cell": lambda desk, job_id: desk.strike_cell(job_id, making.ohms_cell(desk, job_id), "slip"),
    "strike_row": lambda desk, job_id: desk.strike_row(
        job_id,
        making.ohms_cell(desk, job_id).core_id,
        "resistance",
        1,
        making.ohms_cell(desk, job_id).row,
        "slip",
    ),
    "new_take": lambda desk, job_id: desk.new_take(
        job_id, making.ohms_cell(desk, job_id).core_id, "resistance", "again"
    ),
    "undo": lambda desk, job_id: desk.undo(job_id),
    "redo": lambda desk, job_id: desk.redo(job_id),
    "remark": lambda desk, job_id: desk.remark(job_id, "", "", "late thought"),
    "acknowledge": lambda desk, job_id: desk.acknowledge(job_id, "", "resistance", "c", "read"),
    "add_deviation": lambda desk, job_id: desk.add_deviation(job_id, "", "", "found", ""),
    "set_header": lambda desk, job_id: desk.set_header(job_id, Header(number_text="78")),
    "set_references": lambda desk, job_id: desk.set_references(job_id, desk.view(job_id).job.references),
    "add_position": lambda desk, job_id: desk.add_position(job_id, "Bus side"),
    "remove_position": lambda desk, job_id: desk.remove_position(
        job_id, desk.view(job_id).job.positions[0].position_id
    ),
    "set_ct": lambda desk, job_id: desk.set_ct(job_id, desk.view(job_id).job.positions[0].cts[0]),
    "freeze": lambda desk, job_id: desk.freeze(job_id),
    "hand_in": lambda desk, job_id: desk.hand_in(job_id, making.PASSPHRASE, making.APPROVER),
    "revise": lambda desk, job_id: desk.revise(job_id, "again"),
}


@pytest.mark.parametrize("verb", CHANGING)
def test_a_signed_job_refuses_every_verb_that_changes_it(
    verb: str, handed_in: tuple[str, Path], tester: making.Seat
) -> None:
    job_id, _ = handed_in
    before = tester.store.load(job_id)

    with pytest.raises(Refusal):
        CHANGING[verb](tester.desk, job_id)
    assert tester.store.load(job_id) == before
