"""Files of older programs, as they were frozen, are taken in with all that is understood of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.desk import Refusal
from tests.app.desk import making
from tests.app.desk.making import Clock, Seat

SPECIMENS = Path(__file__).resolve().parents[2] / "specimens"
FIRST = SPECIMENS / "draft_form_1.json"


@pytest.fixture
def seat(tmp_path: Path) -> Iterator[Seat]:
    made = making.seat(tmp_path / "seat", "S. Third", Clock())
    yield made
    made.close()


def test_a_job_file_of_the_first_form_is_taken_in(seat: Seat) -> None:
    job = seat.desk.take_in(SPECIMENS / "job_form_1.json").view.job

    assert seat.store.load(job.job_id).readings == job.readings != ()
    assert seat.store.faults() == []


def test_a_draft_of_the_first_form_brings_its_open_question_which_can_be_answered(seat: Seat) -> None:
    job_id = seat.desk.take_in(FIRST).view.job.job_id
    read, line = seat.desk.questions(job_id)
    assert (line.field_text, len(seat.store.load(job_id).readings)) == ("serial", 7)
    assert {side.who_text for side in line.sides} == {"T. Adder", "R. Second"}

    change = seat.desk.keep(job_id, line.key, 0, "read at the plate")
    assert change.view.job.positions[0].cts[0].serial_text == line.sides[0].value_text
    assert "here already" in seat.desk.take_in(FIRST).note_text
    assert seat.desk.questions(job_id) == (read,)
    assert seat.store.faults() == []


def test_what_an_older_program_merged_is_merged_on(seat: Seat, tmp_path: Path) -> None:
    other = making.seat(tmp_path / "other", "R. Fourth", Clock())
    job_id = seat.desk.take_in(FIRST).view.job.job_id
    other.desk.take_in(FIRST)
    seat.desk.key(job_id, making.ohms_cell(seat.desk, job_id, 2), "2.2")
    other.desk.remark(job_id, "", "", "wind")
    seat.desk.take_in(other.desk.hand_out(job_id, other.folder / "back.json"))
    other.desk.take_in(seat.desk.hand_out(job_id, seat.folder / "there.json"))

    ours, theirs = (its.store.load(job_id) for its in (seat, other))
    assert set(ours.readings) == set(theirs.readings)
    assert [one.text for one in ours.remarks] == [one.text for one in theirs.remarks] == ["wind"]
    assert ours.questions == theirs.questions
    assert len(seat.desk.questions(job_id)) == 2
    other.close()


def test_a_draft_with_a_revision_by_people_unknown_here_says_who_is_to_vouch(seat: Seat) -> None:
    with pytest.raises(Refusal, match=r"vouches.*Nothing was taken in\."):
        seat.desk.take_in(SPECIMENS / "draft_form_2.json")
    assert seat.store.jobs() == []
