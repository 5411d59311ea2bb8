"""Two laptops on one job, with stores of their own: handed out, worked on apart, merged and answered."""

from __future__ import annotations

import dataclasses
import json
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.chains import events_of
from app.exchange.problem import JobFileProblem
from app.record import trail
from app.record.act import Act
from app.record.canonical import canonical
from app.record.chain import FIRST_PREV, next_event
from app.record.draft import from_bytes, to_bytes
from tests.app.desk import making
from tests.app.desk.making import Clock, Seat


@pytest.fixture
def job_id(one: Seat) -> str:
    return making.complete_job(one.desk)


def pass_on(giver: Seat, taker: Seat, job_id: str, name: str = "draft.json") -> Path:
    path = giver.folder / name
    giver.desk.hand_out(job_id, path)
    taker.desk.take_in(path)
    return path


def test_a_draft_brings_the_job_with_all_its_events(one: Seat, two: Seat, job_id: str) -> None:
    before = one.store.events(job_id)
    pass_on(one, two, job_id)

    assert two.store.load(job_id) == one.store.load(job_id)
    assert {event.head for event in before} <= {event.head for event in events_of(two.store, job_id)}
    (taken,) = [event for event in two.store.events(job_id) if event.act.kind == "take_in"]
    assert taken.act.where["heads"] == [[before[-1].device_id, before[-1].n, before[-1].head]]
    assert two.store.faults() == []


def test_what_was_read_apart_comes_together_by_one_event_that_names_both_heads(
    one: Seat, two: Seat, job_id: str
) -> None:
    pass_on(one, two, job_id)
    two.desk.remark(job_id, "", "", "wind from the west")
    one.desk.set_header(job_id, dataclasses.replace(one.store.load(job_id).header, weather_text="dry"))
    head = two.store.heads()[0]
    path = two.folder / "back.json"
    two.desk.hand_out(job_id, path)
    change = one.desk.take_in(path)

    assert [entry.text for entry in change.view.job.remarks] == ["wind from the west"]
    assert change.view.job.header.weather_text == "dry"
    merges = [event for event in one.store.events(job_id) if event.act.kind == "merge"]
    assert [head.device_id, head.n, head.head] in merges[0].act.where["heads"]
    assert len(merges) == 1
    assert one.desk.questions(job_id) == ()
    assert one.store.faults() == []
    assert any("merged" in line.what_text for line in one.desk.trail(job_id))


def test_two_readings_of_one_field_are_asked_about_and_one_is_kept(one: Seat, two: Seat, job_id: str) -> None:
    pass_on(one, two, job_id)
    cell = making.ohms_cell(one.desk, job_id)
    one.desk.key(job_id, cell, "2.2")
    two.desk.key(job_id, cell, "2.3")
    pass_on(two, one, job_id, "back.json")
    (line,) = one.desk.questions(job_id)
    assert {(side.value_text, side.who_text) for side in line.sides} == {
        ("2.2", "T. Adder"),
        ("2.3", "R. Second"),
    }
    assert all(side.when_text.startswith("4 May 2031") for side in line.sides)
    assert any("two readings" in reason for reason in _reasons(one, job_id))

    kept = [side.value_text for side in line.sides].index("2.3")
    change = one.desk.keep(job_id, line.key, kept, "the leads were moved after the first")

    (take,) = change.view.takes[cell.core_id, "resistance"]
    assert take.row(cell.row).cell("r_measured_ohm").number == 2.3
    assert one.desk.questions(job_id) == ()
    assert one.store.events(job_id)[-1].act.kind == "keep"
    assert change.view.can_undo_text is None
    struck = [entry for entry in change.view.job.readings if entry.struck]
    assert [entry.reason_text for entry in struck] == ["the leads were moved after the first"]
    pass_on(one, two, job_id, "again.json")
    assert two.desk.questions(job_id) == ()
    assert two.desk.view(job_id).findings == change.view.findings


def test_a_plate_that_both_changed_is_refer_until_somebody_says_which_holds(
    one: Seat, two: Seat, job_id: str
) -> None:
    pass_on(one, two, job_id)
    _serial(one, job_id, "CT-1")
    _serial(two, job_id, "CT-2")
    change = one.desk.take_in(_handed(two, job_id))
    assert {finding.verdict for its in change.view.findings.values() for finding in its} == {"refer"}
    (line,) = one.desk.questions(job_id)
    assert (line.where_text, line.field_text) == ("plate of Line side L1", "serial")
    values = [side.value_text for side in line.sides]
    assert sorted(values) == ["CT-1", "CT-2"]

    change = one.desk.keep(job_id, line.key, values.index("CT-1"), "read once more")

    assert change.view.job.positions[0].cts[0].serial_text == "CT-1"
    assert "refer" not in {finding.verdict for its in change.view.findings.values() for finding in its}
    with pytest.raises(Refusal, match="answered already"):
        one.desk.keep(job_id, line.key, 0, "again")


def test_two_who_answer_one_question_differently_are_asked_again(one: Seat, two: Seat, job_id: str) -> None:
    pass_on(one, two, job_id)
    _serial(one, job_id, "CT-1")
    _serial(two, job_id, "CT-2")
    pass_on(two, one, job_id)
    pass_on(one, two, job_id)
    _keep(one, job_id, "CT-1")
    _keep(two, job_id, "CT-2")
    pass_on(two, one, job_id)

    (line,) = one.desk.questions(job_id)
    assert {side.value_text for side in line.sides} == {"CT-1", "CT-2"}
    _keep(one, job_id, "CT-2")
    pass_on(one, two, job_id)
    assert [seat.desk.questions(job_id) for seat in (one, two)] == [(), ()]
    assert two.desk.view(job_id).job.positions == one.desk.view(job_id).job.positions


def test_an_answer_wants_a_reason_and_a_value_that_is_there(one: Seat, two: Seat, job_id: str) -> None:
    pass_on(one, two, job_id)
    _serial(one, job_id, "CT-1")
    _serial(two, job_id, "CT-2")
    one.desk.take_in(_handed(two, job_id))
    (line,) = one.desk.questions(job_id)

    with pytest.raises(Refusal, match="with a reason"):
        one.desk.keep(job_id, line.key, 0, " ")
    with pytest.raises(Refusal, match="no such value"):
        one.desk.keep(job_id, line.key, 2, "looked")


def test_it_is_said_before_what_a_merge_would_change(one: Seat, two: Seat, job_id: str) -> None:
    pass_on(one, two, job_id)
    cell = making.ohms_cell(one.desk, job_id)
    one.desk.key(job_id, cell, "2.2")
    two.desk.key(job_id, cell, "2.3")
    two.desk.key(job_id, dataclasses.replace(cell, quantity_id="i_test_a"), "1.5")
    path = _handed(two, job_id)
    before = one.store.events()
    look = one.desk.look_at_draft(path)

    assert look is not None
    assert (look.here, look.new_here_count, look.new_there_count, look.questions_count) == (True, 2, 1, 1)
    assert (look.from_text, look.trouble_text) == ("R. Second", "")
    assert one.store.events() == before


def test_taking_the_same_draft_in_twice_changes_nothing(one: Seat, two: Seat, job_id: str) -> None:
    pass_on(one, two, job_id)
    two.desk.remark(job_id, "", "", "wind")
    path = _handed(two, job_id)
    one.desk.take_in(path)
    before = len(one.store.events())

    assert one.desk.look_at_draft(path).nothing_new  # type: ignore[union-attr]
    assert "here already" in one.desk.take_in(path).note_text
    assert len(one.store.events()) == before


def test_what_is_handed_in_is_not_merged_and_not_handed_out(one: Seat, two: Seat, job_id: str) -> None:
    pass_on(one, two, job_id)
    two.desk.remark(job_id, "", "", "wind")
    path = _handed(two, job_id)
    one.desk.freeze(job_id)

    with pytest.raises(Refusal, match=r"frozen.* Nothing was merged\."):
        one.desk.take_in(path)
    assert "Nothing was merged." in one.desk.look_at_draft(path).trouble_text  # type: ignore[union-attr]
    with pytest.raises(Refusal, match="frozen"):
        one.desk.hand_out(job_id, two.folder / "x.json")


def test_files_that_are_half_altered_or_newer_change_nothing(one: Seat, two: Seat, job_id: str) -> None:
    path = one.folder / "draft.json"
    one.desk.hand_out(job_id, path)
    whole = path.read_bytes()
    half, newer, broken = (two.folder / name for name in ("half", "newer", "broken"))
    half.write_bytes(whole[: len(whole) // 2])
    newer.write_bytes(canonical({**json.loads(whole), "version": 3}))
    broken.write_bytes(canonical({**json.loads(whole), "files": {"job.json": ""}}))

    with pytest.raises(JobFileProblem):
        two.desk.take_in(half.rename(two.folder / "half.json"))
    for path, words in ((newer, "newer Coreleaf"), (broken, "damaged or not whole")):
        with pytest.raises(Refusal, match=words):
            two.desk.take_in(path)
    assert two.store.jobs() == []


def test_a_trail_that_no_program_of_ours_writes_changes_nothing(one: Seat, two: Seat, job_id: str) -> None:
    act = Act("merge", "p", "P", "2031-05-04T08:00:00Z", 0, "Etc/UTC", {"heads": [["a"]]})
    odd = next_event(FIRST_PREV, 1, "d" * 8, act, {})
    path = one.desk.hand_out(job_id, one.folder / "draft.json")
    draft = from_bytes(path.read_bytes())
    path.write_bytes(to_bytes(dataclasses.replace(draft, events=trail.to_bytes([odd]))))

    with pytest.raises(Refusal, match="does not fit its job"):
        two.desk.take_in(path)
    assert two.store.jobs() == []


@pytest.mark.parametrize("year", [2019, 2044])
def test_a_laptop_whose_clock_is_years_off_loses_nothing_and_that_is_said(
    one: Seat, tmp_path: Path, job_id: str, year: int
) -> None:
    odd = making.seat(tmp_path / "odd", "R. Second", Clock(datetime(year, 5, 4, tzinfo=UTC)))
    pass_on(one, odd, job_id)
    cell = making.ohms_cell(odd.desk, job_id)
    odd.desk.key(job_id, cell, "2.3")
    change = one.desk.take_in(_handed(odd, job_id))

    assert "1 reading is new here." in change.note_text
    assert "The clocks of the computers are about 4" in change.note_text
    (take,) = change.view.takes[cell.core_id, "resistance"]
    assert take.row(cell.row).cell("r_measured_ohm").number == 2.3
    assert one.store.faults() == []
    odd.close()


def test_two_trails_of_one_device_are_refused(one: Seat, two: Seat, job_id: str, tmp_path: Path) -> None:
    one.close()
    shutil.copytree(one.folder, tmp_path / "copy")
    copy, again = (making.sit_down(folder, Clock()) for folder in (tmp_path / "copy", one.folder))
    copy.desk.remark(job_id, "", "", "in the copy")
    again.desk.remark(job_id, "", "", "in the store")
    pass_on(copy, two, job_id)

    with pytest.raises(Refusal, match="brought back from an older copy"):
        pass_on(again, two, job_id)
    copy.close()
    again.close()


def _serial(seat: Seat, job_id: str, serial: str) -> None:
    ct = seat.desk.view(job_id).job.positions[0].cts[0] if job_id in seat.desk._open else None
    ct = ct or seat.desk.open_job(job_id).job.positions[0].cts[0]
    seat.desk.set_ct(job_id, dataclasses.replace(ct, serial_text=serial))


def _keep(seat: Seat, job_id: str, value: str) -> None:
    (line,) = seat.desk.questions(job_id)
    side = [one.value_text for one in line.sides].index(value)
    seat.desk.keep(job_id, line.key, side, "read at the plate")


def _handed(seat: Seat, job_id: str) -> Path:
    return seat.desk.hand_out(job_id, seat.folder / "handed.json")


def _reasons(seat: Seat, job_id: str) -> list[str]:
    from app.desk.readiness import why_not_complete

    view = seat.desk.view(job_id)
    return why_not_complete(view.job, view.takes, ())
