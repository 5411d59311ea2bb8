"""The office's registers: kept whole, picked for jobs, written out and taken in with what that changes."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import pytest

from app.desk import Address, Desk
from app.desk.limit_sets import LimitSet, SetLimit
from app.desk.registers import Registers, Template, due_instruments, read
from app.desk.view import Refusal
from ctcore.job import METHOD_ROW, Instrument, LimitOverride, Person

METER = Instrument(
    instrument_id="i1", name_text="Ohmmeter 3", serial_text="M-7", response="mean",
    spec_reading_percent=0.2, due_on="2031-06-30",
)  # fmt: skip
WHO = Person(person_id="p1", name_text="R. Tamm", employer_text="Rill and Bank Testing")
LIMITS = LimitSet(
    set_id="s1", name_text="Fenmark Grid", decision_rule="guard_band", insulation_limit_set="client",
    client_insulation_limit_ohm=1e8,
)  # fmt: skip
START = Template(
    template_id="t1", name_text="Fenmark bay", customer_text="Fenmark Grid", title_text="Line bay",
    paper="Letter", frequency_rated_hz=60.0, phase_names=("A", "B", "C"), set_id="s1", sheet_language="de",
)  # fmt: skip


def filled(desk: Desk) -> Registers:
    for entry in (METER, WHO, LIMITS):
        desk.register(entry)
    return desk.register(START)


def test_without_a_file_there_is_nothing_and_nothing_is_made(desk: Desk) -> None:
    assert desk.registers() == Registers()
    assert not desk.registers_path.exists()


def test_what_is_registered_is_there_when_it_is_read_again(desk: Desk) -> None:
    kept = filled(desk)
    assert desk.registers() == kept
    assert (kept.people, kept.instruments) == ((WHO,), (METER,))
    changed = desk.register(dataclasses.replace(METER, due_on="2033-06-30"))
    assert [one.due_on for one in changed.instruments] == ["2033-06-30"]
    assert desk.unregister("instruments", "i1").instruments == ()


def test_an_entry_without_a_name_or_with_no_day_is_refused(desk: Desk) -> None:
    filled(desk)
    with pytest.raises(Refusal, match="needs a name"):
        desk.register(dataclasses.replace(WHO, name_text=" "))
    with pytest.raises(Refusal, match="2031-05-04"):
        desk.register(dataclasses.replace(METER, due_on="next spring"))
    assert desk.registers().instruments == (METER,)


def test_a_job_starts_where_a_template_says(desk: Desk) -> None:
    filled(desk)
    job = desk.new_job_from(START, number_text="78", title_text="", site_text="Alderholm").view.job
    assert (job.header.title_text, job.header.customer_text, job.header.site_text) == (
        "Line bay", "Fenmark Grid", "Alderholm",
    )  # fmt: skip
    assert job.header.sheet_language == "de"
    assert (job.header.paper, job.frequency_rated_hz, job.phase_names) == ("Letter", 60.0, ("A", "B", "C"))
    assert (job.references.decision_rule, job.references.client_insulation_limit_ohm) == ("guard_band", 1e8)


def test_a_template_without_its_limit_set_starts_no_job(desk: Desk) -> None:
    filled(desk)
    desk.unregister("limit_sets", "s1")
    with pytest.raises(Refusal, match="No job was started"):
        desk.new_job_from(START, number_text="78", title_text="", site_text="")
    assert desk.jobs() == []


def test_what_is_picked_keeps_what_only_the_job_knows(desk: Desk, job_id: str) -> None:
    desk.use(job_id, WHO)
    desk.use(job_id, METER)
    desk.set_instrument(job_id, dataclasses.replace(METER, checked_before_use_text="shorted leads"))
    later = dataclasses.replace(METER, due_on="2033-06-30")
    (found,) = desk.use(job_id, later).view.job.instruments
    assert (found.due_on, found.checked_before_use_text) == ("2033-06-30", "shorted leads")
    assert "R. Tamm" in [one.name_text for one in desk.view(job_id).job.people]


WIDER = SetLimit(
    rule="resistance.limit", class_text="PX", limit_low=None, limit_high=2.4, clause_text="clause 4.2"
)  # fmt: skip
FOUNDED = dataclasses.replace(
    LIMITS, source_text="Specification FG-12, edition 3", set_by_text="B. Ruler", limits=(WIDER,)
)


def test_a_job_is_judged_by_the_limits_of_a_set_with_document_edition_and_name(
    desk: Desk, job_id: str
) -> None:
    own = LimitOverride(
        rule="ratio.error", core_id="c", limit_low=None, limit_high=1.0, reason_text="r", person_text="p"
    )
    desk.add_position(job_id, "Line", phases=("L1",), core_classes=("PX Ek 350 V Ie 30 mA Rct 2.5 ohm",))
    before = desk.view(job_id).job.references
    desk.set_references(job_id, dataclasses.replace(before, limit_overrides=(own,)))

    held = desk.use(job_id, FOUNDED).view.job.references
    (given, kept) = held.limit_overrides
    assert kept == own
    assert (given.core_id, given.class_text, given.limit_high) == ("", "PX", 2.4)
    assert given.reason_text == "Specification FG-12, edition 3, clause 4.2 (limit set Fenmark Grid)"
    assert given.person_text == "B. Ruler"
    assert held.decision_rule == "guard_band"
    assert desk.use(job_id, LIMITS).view.job.references.limit_overrides == (own,)
    assert desk.undo(job_id).view.job.references == held


def test_a_core_that_comes_later_is_judged_by_the_set_too(desk: Desk) -> None:
    desk.register(FOUNDED)
    job_id = desk.new_job_from(START, number_text="79", title_text="", site_text="").view.job.job_id
    desk.add_position(job_id, "Line", phases=("A",), core_classes=("PX Ek 350 V Ie 30 mA Rct 2.5 ohm",))
    core = desk.view(job_id).job.positions[0].cts[0].cores[0]
    core_id = core.core_id
    at_75 = {"leads": "four_wire", "t_winding_degc": "75", "t_winding_source": "surface_probe"}
    keyed = [(Address(core_id, "resistance", 1, METHOD_ROW, name), value) for name, value in at_75.items()]
    ohms = Address(core_id, "resistance", 1, core.taps[0].tap_id, "r_measured_ohm")
    desk.key_many(job_id, [*keyed, (ohms, "2.45")])

    (found,) = [one for one in desk.view(job_id).findings[core_id] if one.rule == "resistance.limit"]
    assert (found.limit_high, found.verdict) == (2.4, "refer")
    assert "set by B. Ruler: Specification FG-12, edition 3, clause 4.2" in found.source


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"source_text": " "}, "with its edition"),
        ({"set_by_text": ""}, "name of who of the office"),
        ({"limits": (dataclasses.replace(WIDER, limit_high=None),)}, "lower or an upper figure"),
        ({"limits": (dataclasses.replace(WIDER, limit_low=9.0),)}, "above the upper"),
        ({"limits": (dataclasses.replace(WIDER, rule="colour"),)}, "No limit of the name colour"),
    ],
)
def test_a_set_whose_limits_are_not_founded_is_refused(
    desk: Desk, changed: dict[str, object], told: str
) -> None:
    with pytest.raises(Refusal, match=told):
        desk.register(dataclasses.replace(FOUNDED, **changed))
    assert desk.registers().limit_sets == ()


def test_a_set_that_came_in_without_its_document_gives_limits_without_a_reason() -> None:
    bare = dataclasses.replace(FOUNDED, source_text="")
    assert [one.reason_text for one in bare.references.limit_overrides] == [""]


def test_taking_a_file_in_shows_what_changes_and_loses_nothing(desk: Desk, tmp_path: Path) -> None:
    filled(desk)
    out = tmp_path / "office.json"
    desk.write_registers(out)
    desk.register(dataclasses.replace(METER, due_on="2030-01-01"))
    desk.unregister("people", "p1")
    desk.register(Person(person_id="p2", name_text="Only Here"))

    incoming = desk.read_registers(out)
    told = [(one.kind, one.name_text, one.is_new, one.fields) for one in incoming.differences]
    assert told == [
        ("people", "R. Tamm", True, ()),
        ("instruments", "Ohmmeter 3", False, (("due_on", "2030-01-01", "2031-06-30"),)),
    ]
    assert incoming.only_here_count == 1
    assert desk.registers().instruments[0].due_on == "2030-01-01"

    kept = desk.take_registers(incoming.registers)
    assert [one.name_text for one in kept.people] == ["Only Here", "R. Tamm"]
    assert kept.instruments == (METER,)


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"{", "is no file of registers"),
        (b'{"format": "other", "version": 1, "registers": {}}', "is no file of registers"),
        (b'{"format": "coreleaf-registers", "version": 9, "registers": {}}', "newer Coreleaf"),
        (b'{"format": "coreleaf-registers", "version": 2, "registers": {"cats": []}}', "unknown name"),
    ],
)
def test_a_file_that_is_none_changes_nothing(desk: Desk, tmp_path: Path, data: bytes, told: str) -> None:
    filled(desk)
    path = tmp_path / "in.json"
    path.write_bytes(data)
    with pytest.raises(Refusal, match=told):
        desk.read_registers(path)
    assert desk.registers().instruments == (METER,)


def test_a_damaged_register_is_said_and_left_as_it_is(desk: Desk) -> None:
    filled(desk)
    desk.registers_path.write_bytes(b"rotten")
    with pytest.raises(Refusal, match="no file of registers"):
        desk.register(WHO)
    assert desk.registers_path.read_bytes() == b"rotten"


def test_the_file_is_plain_and_named(desk: Desk) -> None:
    filled(desk)
    found = json.loads(desk.registers_path.read_bytes())
    assert (found["format"], found["version"]) == ("coreleaf-registers", 2)
    assert read(desk.registers_path) == desk.registers()


def test_instruments_that_end_by_a_day_are_named_earliest_first() -> None:
    kept = Registers(instruments=(METER, dataclasses.replace(METER, instrument_id="i2", due_on="2031-01-01")))
    assert [one.due_on for one in due_instruments(kept, until="2031-06-30")] == ["2031-01-01", "2031-06-30"]
    assert due_instruments(kept, until="2030-12-31") == []
