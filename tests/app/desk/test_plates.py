"""Plates of a list in the job: known ones keep their readings, all of it is one act."""

from __future__ import annotations

import itertools

import pytest

from app.desk import Address, Desk, Refusal
from app.exchange import plates, tables
from ctcore.job import Position


def _listed(text: str) -> list[Position]:
    ids = itertools.count(1)
    return list(plates.preview(tables.from_text(text), new_id=lambda: f"n{next(ids)}").positions)


def test_new_positions_are_added_in_one_act_and_taken_back_by_one_undo(desk: Desk, job_id: str) -> None:
    given = _listed("Bay\tPhase\tRatio\nBay 1\tL1\t600/1\nBay 2\tL1\t600/1\n")
    view = desk.add_plates(job_id, given).view
    assert [position.name_text for position in view.job.positions] == ["Line side", "Bay 1", "Bay 2"]
    assert len(desk.undo(job_id).view.job.positions) == 1


def test_a_known_position_takes_what_is_stated_and_keeps_the_rest(desk: Desk, job_id: str) -> None:
    before = desk.view(job_id).job.positions[0].cts[0]
    given = _listed("Bay\tPhase\tSerial\tCore\tRatio\nline  SIDE\tL1\t70311\t1\t300/1\n")
    position = desk.add_plates(job_id, given).view.job.positions[0]
    ct = position.cts[0]
    assert (ct.ct_id, ct.serial_text, len(position.cts)) == (before.ct_id, "70311", 3)
    assert ct.cores[0].core_id == before.cores[0].core_id
    assert ct.cores[0].class_text == before.cores[0].class_text
    assert ct.cores[0].taps[0].tap_id == before.cores[0].taps[0].tap_id
    assert ct.cores[0].taps[0].i_primary_rated_a == 300.0
    assert ct.cores[1] == before.cores[1]


def test_a_tap_with_readings_does_not_go(desk: Desk, job_id: str, core_id: str) -> None:
    tap_id = desk.view(job_id).job.positions[0].cts[0].cores[0].taps[0].tap_id
    desk.key(job_id, Address(core_id, "resistance", 1, tap_id, "r_measured_ohm"), "2.1")
    given = _listed("Bay\tPhase\tCore\tTerminals\tRatio\nLine side\tL1\t1\tX1-X2\t600/1\n")
    with pytest.raises(Refusal, match="tap with readings"):
        desk.add_plates(job_id, given)
