"""Verbs on readings, over a real store."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import pytest

from app.desk import Address, Change, Desk, Refusal
from app.jobstore import Store
from ctcore.job import METHOD_ROW, Instrument
from ctcore.takes import Cell


def field(core_id: str, quantity_id: str = "i_excitation_a", row: str = "1", take: int = 1) -> Address:
    return Address(core_id, "excitation", take, row, quantity_id)


def cell_of(desk: Desk, job_id: str, address: Address) -> Cell:
    (take,) = [
        one
        for one in desk.view(job_id).takes[(address.core_id, address.procedure_id)]
        if one.take == address.take
    ]
    row = take.method if address.row == METHOD_ROW else take.row(address.row)
    return row.cell(address.quantity_id)


def test_a_keyed_number_is_kept_as_typed_and_in_base_units(desk: Desk, job_id: str, core_id: str) -> None:
    desk.key(job_id, field(core_id), "30.90")

    reading = cell_of(desk, job_id, field(core_id)).current
    assert reading is not None
    assert (reading.as_typed_text, reading.value_text) == ("30.90", "0.03090")


def test_a_keyed_number_is_in_the_store_when_the_verb_returns(
    desk: Desk, store: Store, job_id: str, core_id: str
) -> None:
    desk.key(job_id, field(core_id), "30.9")

    assert [entry.as_typed_text for entry in store.load(job_id).readings] == ["30.9"]


def test_a_correction_supersedes_and_the_first_reading_stays(desk: Desk, job_id: str, core_id: str) -> None:
    desk.key(job_id, field(core_id), "30.9")
    desk.key(job_id, field(core_id), "39.0")

    cell = cell_of(desk, job_id, field(core_id))
    assert [entry.as_typed_text for entry in cell.readings] == ["30.9", "39.0"]
    assert cell.number == pytest.approx(0.039)


def test_a_text_that_is_no_number_is_kept_with_its_reason(desk: Desk, job_id: str, core_id: str) -> None:
    desk.key(job_id, field(core_id), "3o.9")

    reading = cell_of(desk, job_id, field(core_id)).current
    assert reading is not None
    assert (reading.as_typed_text, reading.value_text) == ("3o.9", None)
    assert desk.why_no_number(reading)


def test_an_ambiguous_number_is_kept_and_both_readings_are_named(
    desk: Desk, job_id: str, core_id: str
) -> None:
    desk.key(job_id, field(core_id), "1,234")

    reading = cell_of(desk, job_id, field(core_id)).current
    assert reading is not None
    reason = desk.why_no_number(reading)
    assert reason is not None
    assert "1.234" in reason
    assert "1 234" in reason.replace("\u202f", " ")


def test_a_negative_resistance_is_kept_and_gives_no_value(desk: Desk, job_id: str, core_id: str) -> None:
    tap_id = desk.view(job_id).job.positions[0].cts[0].cores[0].taps[0].tap_id
    address = Address(core_id, "resistance", 1, tap_id, "r_measured_ohm")
    desk.key(job_id, address, "-2.1")

    reading = cell_of(desk, job_id, address).current
    assert reading is not None
    assert reading.value_text is None
    assert "below" in str(desk.why_no_number(reading))


def test_the_same_text_again_adds_no_reading(desk: Desk, store: Store, job_id: str, core_id: str) -> None:
    desk.key(job_id, field(core_id), "30.9")
    desk.key(job_id, field(core_id), "30.9")

    assert len(store.load(job_id).readings) == 1


def test_every_verb_writes_its_event_with_its_change(
    desk: Desk, store: Store, job_id: str, core_id: str
) -> None:
    before = len(store.events(job_id))
    desk.key(job_id, field(core_id), "30.9")

    added = store.events(job_id)[before:]
    assert [event.act.kind for event in added] == ["reading"]
    assert added[0].act.person_name_text == "T. Adder"


def test_a_struck_row_keeps_its_readings_and_the_reason(
    desk: Desk, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    desk.strike_row(job_id, core_id, "excitation", 1, "1", "supply tripped")

    cell = cell_of(desk, job_id, field(core_id))
    assert cell.current is None
    assert cell.standing[0].struck
    assert cell.standing[0].reason_text == "supply tripped"
    assert cell.readings[0].as_typed_text == "3.4"


def test_striking_without_a_reason_is_refused(
    desk: Desk, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")

    with pytest.raises(Refusal, match="with a reason"):
        desk.strike_row(job_id, core_id, "excitation", 1, "1", "  ")


def test_a_retest_stands_beside_the_first_take(
    desk: Desk, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    desk.new_take(job_id, core_id, "excitation", "core was magnetised")

    takes = desk.view(job_id).takes[(core_id, "excitation")]
    assert [take.take for take in takes] == [1, 2]
    assert takes[1].method.cell("retest_reason_text").value_text == "core was magnetised"


def test_a_named_instrument_is_linked_to_the_readings_of_the_take_and_to_the_next(
    desk: Desk, job_id: str, core_id: str, key_point: Callable[[str, str, str], Change]
) -> None:
    key_point("1", "20", "3.4")
    desk.set_instrument(job_id, Instrument(instrument_id="m1", name_text="meter"))
    desk.use_instrument(job_id, core_id, "excitation", 1, "i_excitation_a", "m1")
    key_point("2", "40", "5.7")

    named = [
        cell_of(desk, job_id, field(core_id, row=row)).current.instrument_id  # type: ignore[union-attr]
        for row in ("1", "2")
    ]
    assert named == ["m1", "m1"]


def test_an_acknowledged_caution_is_kept_with_name_and_time(desk: Desk, job_id: str, core_id: str) -> None:
    desk.acknowledge(job_id, core_id, "excitation", "excitation_voltage", "up to 400 V")

    (kept,) = desk.view(job_id).job.acknowledgements
    assert kept.caution_id == "excitation_voltage"
    assert kept.at_utc.startswith("2031-05-04T08:")


def test_the_person_at_the_computer_is_among_the_people_of_the_job(
    desk: Desk, job_id: str, core_id: str
) -> None:
    desk.key(job_id, field(core_id), "30.9")

    assert [person.name_text for person in desk.view(job_id).job.people] == ["T. Adder"]


def test_a_reading_brings_a_planned_job_into_being_tested(desk: Desk, job_id: str, core_id: str) -> None:
    desk.key(job_id, field(core_id), "30.9")

    assert desk.view(job_id).job.state == "being_tested"


def test_findings_change_with_the_reading(desk: Desk, job_id: str, core_id: str) -> None:
    row = ("insulation", 1, "secondary_earth")
    change = desk.key_many(
        job_id,
        [
            (Address(core_id, "insulation", 1, METHOD_ROW, "t_winding_degc"), "20"),
            (Address(core_id, *row, "v_test_v"), "500"),
            (Address(core_id, *row, "insulation_resistance_ohm"), "0.2"),
        ],
    )

    assert core_id in change.core_ids
    assert "outside" in {one.verdict for one in change.view.findings[core_id]}


def test_two_standing_values_are_an_open_question(
    desk: Desk, store: Store, job_id: str, core_id: str
) -> None:
    desk.key(job_id, field(core_id), "30.9")
    (first,) = store.load(job_id).readings
    twin = dataclasses.replace(first, reading_id="twin", value_text="0.031", device_id="other", device_seq=1)
    store.append(job_id, desk._act("merge", desk.view(job_id).job, {}, None, None), readings=[twin])
    desk.close_job(job_id)
    desk.open_job(job_id)

    assert cell_of(desk, job_id, field(core_id)).disputed
