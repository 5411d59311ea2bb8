"""Verbs on job, positions, plates, instruments and people."""

from __future__ import annotations

import dataclasses

import pytest

from app.desk import Address, Desk, Refusal
from ctcore.errors import BadInput
from ctcore.job import CT, Header, Instrument


def plates(desk: Desk, job_id: str) -> tuple[CT, ...]:
    return desk.view(job_id).job.positions[0].cts


def test_a_new_job_takes_what_the_office_set(desk: Desk) -> None:
    job = desk.new_job(Header(number_text="78")).view.job

    assert job.header.organisation_text == "Rill and Bank Testing"
    assert job.references.insulation_limit_set == "tradition_1_mohm"


def test_a_job_without_a_number_is_refused_at_that_field(desk: Desk) -> None:
    with pytest.raises(BadInput) as refused:
        desk.new_job(Header(number_text=" "))

    assert refused.value.quantity == "job number"


def test_a_position_has_one_transformer_per_phase(desk: Desk, job_id: str) -> None:
    assert [ct.phase_text for ct in plates(desk, job_id)] == ["L1", "L2", "L3"]


def test_a_copied_plate_keeps_serial_numbers_and_core_ids_of_the_sisters(desk: Desk, job_id: str) -> None:
    first, second, _ = plates(desk, job_id)
    core = dataclasses.replace(first.cores[0], class_text="PX Ek 200 V Ie 30 mA Rct 2.5 ohm")
    desk.set_ct(job_id, dataclasses.replace(second, serial_text="S-2"))
    desk.set_ct(job_id, dataclasses.replace(first, serial_text="S-1", cores=(core, *first.cores[1:])))
    desk.copy_plate(job_id, first.ct_id, [second.ct_id])

    copied = plates(desk, job_id)[1]
    assert copied.serial_text == "S-2"
    assert copied.cores[0].class_text == core.class_text
    assert [core.core_id for core in copied.cores] == [core.core_id for core in second.cores]


def test_readings_of_a_sister_still_find_their_tap_after_a_plate_is_copied(desk: Desk, job_id: str) -> None:
    first, second, _ = plates(desk, job_id)
    tap_id = second.cores[0].taps[0].tap_id
    desk.key(job_id, Address(second.cores[0].core_id, "resistance", 1, tap_id, "r_measured_ohm"), "2.1")
    desk.copy_plate(job_id, first.ct_id, [second.ct_id])

    assert plates(desk, job_id)[1].cores[0].taps[0].tap_id == tap_id


def test_a_class_text_that_nobody_wrote_is_refused_with_a_reason(desk: Desk, job_id: str) -> None:
    first = plates(desk, job_id)[0]
    core = dataclasses.replace(first.cores[0], class_text="7Q12")

    with pytest.raises(BadInput):
        desk.set_ct(job_id, dataclasses.replace(first, cores=(core,)))


def test_a_ratio_of_zero_is_refused_at_its_field(desk: Desk, job_id: str) -> None:
    first = plates(desk, job_id)[0]
    tap = dataclasses.replace(first.cores[0].taps[0], i_primary_rated_a=0.0)
    core = dataclasses.replace(first.cores[0], taps=(tap,))

    with pytest.raises(BadInput, match="rated primary current"):
        desk.set_ct(job_id, dataclasses.replace(first, cores=(core,)))


def test_a_core_with_readings_cannot_go(desk: Desk, job_id: str, core_id: str) -> None:
    desk.key(job_id, Address(core_id, "excitation", 1, "1", "v_excitation_v"), "20")

    with pytest.raises(Refusal, match="with readings"):
        desk.set_ct(job_id, dataclasses.replace(plates(desk, job_id)[0], cores=()))


def test_new_phase_names_reach_the_plates(desk: Desk, job_id: str) -> None:
    header = desk.view(job_id).job.header
    desk.set_header(job_id, header, phase_names=("R", "Y", "B"))

    assert [ct.phase_text for ct in plates(desk, job_id)] == ["R", "Y", "B"]


def test_an_instrument_that_changed_keeps_its_place(desk: Desk, job_id: str) -> None:
    one, two = (Instrument(instrument_id=name, name_text=name) for name in ("m1", "m2"))
    desk.set_instrument(job_id, one)
    desk.set_instrument(job_id, two)
    desk.set_instrument(job_id, dataclasses.replace(one, due_on="2032-01-31"))

    assert [entry.instrument_id for entry in desk.view(job_id).job.instruments] == ["m1", "m2"]
