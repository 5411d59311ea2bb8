"""What changed since the last look, which is remembered by person and job."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from app.desk.looking import changed
from tests.app.desk import making
from tests.app.desk.making import PASSPHRASE, Seat


@pytest.fixture
def again(tester: Seat, approver: Seat, waiting: str, sent_back: Path, tmp_path: Path) -> str:
    """The job looked at and sent back; corrected, with a serial and an answer; taken in again."""
    assert approver.desk.look(waiting) is None
    tester.desk.take_in(sent_back)
    tester.desk.key(waiting, making.ohms_cell(tester.desk, waiting), "2.10")
    ct = tester.desk.view(waiting).job.positions[0].cts[0]
    tester.desk.set_ct(waiting, dataclasses.replace(ct, serial_text="4711"))
    (asked,) = tester.desk.view(waiting).job.remarks
    (read,) = tester.desk.answer_readings(waiting, asked.remark_id, "correction")
    tester.desk.answer_comment(waiting, asked.remark_id, "correction", "slip", read.reading_id)
    tester.desk.hand_in(waiting, PASSPHRASE, making.APPROVER, tmp_path / "again")
    approver.desk.take_in(tmp_path / "again")
    return waiting


def test_the_next_look_tells_lines_readings_plates_and_answers(approver: Seat, again: str) -> None:
    found = approver.desk.look(again)

    assert found is not None
    by_key = {line.key: line for line in approver.desk.lines(again)}
    told = {by_key[key].found_text.split(":")[0]: was.split(":")[0] for key, was in found.keys.items()}
    assert told["within"] == "outside"
    assert list(found.readings.values()) == [1]
    (part,) = found.parts
    assert (part.kind, part.place_text, part.fields) == ("ct", "Line side L1", (("serial_text", "", "4711"),))
    assert len(found.answered) == 1
    assert (found.since_revision, found.since_text[:10]) == (1, "4 May 2031")


def test_what_did_not_change_is_not_told(approver: Seat, waiting: str) -> None:
    view = approver.desk.view(waiting)
    findings = approver.desk.findings_to_decide(waiting)
    found = changed((view.job, findings), (view.job, findings), 1, "before")

    assert (found.keys, found.gone, found.readings, found.parts) == ({}, (), {}, ())


def test_a_line_that_is_judged_no_more_is_told_as_gone(approver: Seat, waiting: str) -> None:
    job, findings = approver.desk.view(waiting).job, approver.desk.findings_to_decide(waiting)
    found = changed((job, findings), (job, ()), 1, "before")

    assert [line.verdict for line in found.gone] == ["outside"]


def test_looking_twice_at_one_revision_still_tells_what_changed_since_the_one_before(
    approver: Seat, again: str
) -> None:
    first = approver.desk.look(again)
    approver.desk.close_job(again)

    assert approver.desk.look(again) == first


def test_each_person_has_looks_of_their_own(approver: Seat, again: str) -> None:
    approver.desk.look(again)
    approver.desk.settings.change(person_id="somebody", person_name_text="S. Body")

    assert approver.desk.look(again) is None


def test_a_damaged_memory_of_looks_is_as_good_as_none(approver: Seat, again: str) -> None:
    (approver.desk.settings.folder / "looks.json").write_text("{broken")

    assert approver.desk.look(again) is None


def test_a_job_without_a_revision_is_not_looked_at(tester: Seat) -> None:
    assert tester.desk.look(making.complete_job(tester.desk)) is None
