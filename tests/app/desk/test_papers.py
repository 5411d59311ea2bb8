"""Freezing, revising, sheets and job files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from app.desk import Address, Change, Desk, Refusal
from app.exchange import jobfile
from app.jobstore import Store
from app.record.canonical import digest
from app.record.revision import from_bytes


@pytest.fixture
def frozen(desk: Desk, job_id: str, key_point: Callable[[str, str, str], Change]) -> str:
    key_point("1", "20", "3.4")
    key_point("2", "40", "5.7")
    desk.freeze(job_id)
    return job_id


def test_a_frozen_revision_is_the_bytes_that_its_digest_names(desk: Desk, store: Store, frozen: str) -> None:
    (stored,) = store.revisions(frozen)

    assert digest(stored.record_bytes) == stored.digest == desk.view(frozen).revisions[0].digest_hex


def test_a_frozen_record_holds_readings_findings_and_the_declaration(store: Store, frozen: str) -> None:
    record = from_bytes(store.revisions(frozen)[0].record_bytes)

    assert [entry.as_typed_text for entry in record.job.readings] == ["20", "3.4", "40", "5.7"]
    assert record.findings
    assert record.declaration.name_text == "T. Adder"
    assert record.heads


def test_a_frozen_job_refuses_a_reading_and_says_why(desk: Desk, frozen: str, core_id: str) -> None:
    with pytest.raises(Refusal, match="handed in and frozen"):
        desk.key(frozen, Address(core_id, "excitation", 1, "3", "v_excitation_v"), "60")


def test_a_revision_names_the_one_it_replaces_and_the_reason(
    desk: Desk, store: Store, frozen: str, core_id: str
) -> None:
    desk.revise(frozen, "retest after repair")
    desk.key(frozen, Address(core_id, "excitation", 1, "3", "v_excitation_v"), "60")
    desk.freeze(frozen)

    first, second = store.revisions(frozen)
    record = from_bytes(second.record_bytes)
    assert (record.revision, record.replaces_digest) == (2, first.digest)
    assert record.reason_text == "retest after repair"


def test_a_job_without_readings_cannot_be_frozen(desk: Desk, job_id: str) -> None:
    with pytest.raises(Refusal, match="no readings yet"):
        desk.freeze(job_id)


def test_the_sheet_of_a_frozen_job_shows_the_frozen_findings(desk: Desk, store: Store, frozen: str) -> None:
    record = from_bytes(store.revisions(frozen)[0].record_bytes)
    sheet = desk.sheet_input(frozen)

    assert tuple(sheet.findings) == record.findings
    assert sheet.digest_hex == store.revisions(frozen)[0].digest
    assert sheet.rejudged is None


def test_a_draft_has_no_digest(
    desk: Desk, job_id: str, tmp_path: Path, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    path = desk.sheet(job_id, tmp_path / "draft.pdf")

    assert path.read_bytes().startswith(b"%PDF-")
    assert desk.sheet_input(job_id).digest_hex is None


def test_an_exported_job_is_the_same_job(
    desk: Desk, job_id: str, tmp_path: Path, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    path = desk.export_job(job_id, tmp_path / "job.json")

    assert jobfile.load(path) == desk.view(job_id).job


def test_a_job_taken_in_twice_is_opened_as_it_stands(desk: Desk, job_id: str, tmp_path: Path) -> None:
    path = desk.export_job(job_id, tmp_path / "job.json")
    change = desk.import_job(path)

    assert "here already" in change.note_text
    assert len(desk.jobs()) == 1


def test_stored_findings_serve_when_a_job_is_opened_again(
    desk: Desk, store: Store, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    shown = key_point("1", "20", "3.4").view.findings[core_id]
    desk.close_job(job_id)

    assert store.findings(job_id)[core_id].findings == shown
    assert desk.open_job(job_id).findings[core_id] == shown


def test_only_a_frozen_job_is_revised_and_with_a_reason(desk: Desk, job_id: str, frozen: str) -> None:
    with pytest.raises(Refusal, match="has a reason"):
        desk.revise(frozen, " ")
    desk.revise(frozen, "retest after repair")

    with pytest.raises(Refusal, match="not frozen yet"):
        desk.revise(frozen, "again")


def test_freezing_needs_a_name(desk: Desk, job_id: str, key_point: Callable[[str, str, str], Change]) -> None:
    key_point("1", "20", "3.4")
    desk.settings.change(person_name_text="")
    with pytest.raises(Refusal, match="Say first who you are"):
        desk.freeze(job_id)


def test_what_is_frozen_without_a_key_is_nowhere_called_signed(
    desk: Desk, store: Store, frozen: str, tmp_path: Path
) -> None:
    view = desk.view(frozen)
    kinds = [event.act.kind for event in store.events(frozen)]

    assert [line.signed for line in view.revisions] == [False]
    assert "sign" not in kinds
    assert not desk.sheet_input(frozen).signed
    assert desk.trail(frozen)[-1].what_text == "frozen, not signed"


def test_who_freezes_under_a_new_name_stands_among_the_people(desk: Desk, store: Store, frozen: str) -> None:
    desk.revise(frozen, "named wrong")
    desk.settings.change(person_name_text="T. Adder-Snow")
    desk.freeze(frozen)

    assert "T. Adder-Snow" in {person.name_text for person in store.load(frozen).people}


def test_the_sheet_of_an_older_revision_names_its_own_state(desk: Desk, frozen: str) -> None:
    at_first = desk.sheet_input(frozen, revision=1).state_words
    desk.revise(frozen, "retest after repair")
    begun = desk.sheet_input(frozen, revision=1).state_words
    desk.freeze(frozen)

    assert begun == "frozen; a new revision is begun"
    assert desk.sheet_input(frozen, revision=1).state_words == "replaced by revision 2"
    assert desk.sheet_input(frozen, revision=2).state_words == at_first
