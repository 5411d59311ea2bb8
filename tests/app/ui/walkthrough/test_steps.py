"""Steps of a first job: told by what stands in the job, in their order."""

from __future__ import annotations

import dataclasses

import pytest

from app.desk import Address, Desk
from app.jobstore import Store
from app.settings import Settings
from app.ui.shell.verbs import VERBS
from app.ui.texts import text
from app.ui.walkthrough.steps import STEPS, Stand, core_to_walk, moved_on
from ctcore.job import METHOD_ROW, Header
from ctcore.procedures import PROCEDURES


@pytest.fixture
def desk(tmp_path):
    store = Store.open(tmp_path / "store.sqlite")
    settings = Settings.load(tmp_path)
    settings.change(person_name_text="J. Velde")
    yield Desk(store, settings)
    store.close()


def made(desk) -> str:
    return desk.new_job(Header(number_text="J-1")).view.job.job_id


def step_at(stand: Stand, start: int = 0) -> str:
    return [*(step.step_id for step in STEPS), "finished"][moved_on(start, stand)]


def number(step_id: str) -> int:
    return [step.step_id for step in STEPS].index(step_id)


def test_without_a_job_the_first_step_makes_one():
    assert step_at(Stand()) == "job"


def test_a_new_job_wants_a_set(desk):
    assert step_at(Stand(desk.open_job(made(desk)))) == "set"


def test_a_set_wants_its_plate_compared(desk):
    job_id = made(desk)
    view = desk.add_position(job_id, "S1", core_classes=("PX Ek 250 V Ie 30 mA Rct 3 ohm",)).view
    assert step_at(Stand(view, core_to_walk(view))) == "plate"


def test_a_test_is_done_when_it_has_a_verdict(desk):
    job_id = made(desk)
    view = desk.add_position(job_id, "S1", core_classes=("PX Ek 250 V Ie 30 mA Rct 3 ohm",)).view
    core_id = core_to_walk(view)
    at = number("resistance")
    before = step_at(Stand(view, core_id), at)
    row = view.job.positions[0].cts[0].cores[0].taps[0].tap_id
    method = {"leads": "four_wire", "t_winding_degc": "20", "t_winding_source": "ambient"}
    for quantity_id, words in method.items():
        begun = desk.key(job_id, Address(core_id, "resistance", 1, METHOD_ROW, quantity_id), words).view
    whole = desk.key(job_id, Address(core_id, "resistance", 1, row, "r_measured_ohm"), "2.00").view
    steps = [before, step_at(Stand(begun, core_id), at), step_at(Stand(whole, core_id), at)]
    assert steps == ["resistance", "resistance", "ratio"]


def test_a_test_that_is_left_out_is_passed(desk):
    job_id = made(desk)
    view = desk.add_position(job_id, "S1", core_classes=("PX Ek 250 V Ie 30 mA Rct 3 ohm",)).view
    core_id = core_to_walk(view)
    left = desk.leave_out(job_id, core_id, "ratio", "links are welded").view
    assert step_at(Stand(left, core_id), number("ratio")) == "excitation"


def test_board_and_sheet_are_looked_at(desk):
    view = desk.open_job(made(desk))
    assert step_at(Stand(view, "", "worksheet"), number("findings")) == "findings"
    assert step_at(Stand(view, "", "board"), number("findings")) == "sheet"
    assert step_at(Stand(view, "", "preview"), number("sheet")) == "freeze"


def test_in_training_nothing_is_frozen(desk):
    view = desk.open_job(made(desk))
    header = dataclasses.replace(view.job.header, training=True)
    trained = dataclasses.replace(view, job=dataclasses.replace(view.job, header=header))
    assert step_at(Stand(view), number("freeze")) == "freeze"
    assert step_at(Stand(trained), number("freeze")) == "finished"


def test_every_step_leads_somewhere_and_has_its_sentence():
    verbs = {verb.verb_id for verb in VERBS}
    tests = {test.procedure_id for test in PROCEDURES}
    assert all((step.verb_id in verbs) != (step.procedure_id in tests) for step in STEPS)
    assert all(20 < len(text(f"walk.{step.step_id}")) < 120 for step in STEPS)
