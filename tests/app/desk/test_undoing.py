"""Undo and redo restore exactly and are entries of their own."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from app.desk import Address, Change, Desk, Refusal
from app.jobstore import Store
from ctcore.judge import judge


def test_undoing_a_first_entry_leaves_the_field_empty(
    desk: Desk, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    change = desk.undo(job_id)

    assert change.view.takes[(core_id, "excitation")][0].rows == ()


def test_redo_brings_it_back_as_it_was_typed(
    desk: Desk, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.40")
    desk.undo(job_id)
    change = desk.redo(job_id)

    row = change.view.takes[(core_id, "excitation")][0].row("1")
    current = row.cell("i_excitation_a").current
    assert current is not None
    assert (current.as_typed_text, current.value_text) == ("3.40", "0.00340")


def test_undoing_a_correction_puts_the_first_value_back(
    desk: Desk, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    key_point("1", "20", "34")
    change = desk.undo(job_id)

    cell = change.view.takes[(core_id, "excitation")][0].row("1").cell("i_excitation_a")
    assert cell.number == pytest.approx(0.0034)
    assert len(cell.readings) == 3


def test_undoing_a_strike_out_puts_the_row_back(
    desk: Desk, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    desk.strike_row(job_id, core_id, "excitation", 1, "1", "slip")
    change = desk.undo(job_id)

    assert change.view.takes[(core_id, "excitation")][0].row("1").cell("i_excitation_a").number == 0.0034


def test_undo_crosses_from_readings_to_plates(desk: Desk, job_id: str, core_id: str) -> None:
    before = desk.view(job_id).job
    desk.set_position(job_id, before.positions[0].position_id, name_text="Bus side", p1_faces_text="busbar")
    desk.key(job_id, Address(core_id, "excitation", 1, "1", "v_excitation_v"), "20")
    desk.undo(job_id)
    change = desk.undo(job_id)

    assert change.view.job.positions == before.positions


def test_undo_is_a_new_entry_in_the_trail(
    desk: Desk, store: Store, job_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    desk.undo(job_id)

    assert [event.act.kind for event in store.events(job_id)][-2:] == ["reading", "undo"]


def test_everything_undone_and_redone_stands_the_same_after_reopening(
    desk: Desk, job_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    key_point("2", "40", "5.7")
    desk.undo(job_id)
    desk.undo(job_id)
    desk.redo(job_id)
    shown = desk.view(job_id)
    desk.close_job(job_id)
    again = desk.open_job(job_id)

    assert again.takes == shown.takes
    assert again.findings == shown.findings
    assert [finding for group in again.findings.values() for finding in group] == judge(again.job)


def test_undo_with_nothing_done_says_so(desk: Desk, job_id: str) -> None:
    desk.undo(job_id)

    with pytest.raises(Refusal, match="nothing to undo"):
        desk.undo(job_id)
