"""The plan that is offered for a core, by class, duty and work."""

from __future__ import annotations

import pytest

from ctcore.job import Core, Header, Job, Reading, Tap
from ctcore.plan import plan_of, steps_of, with_plan
from ctcore.procedures import MEASURED, PROCEDURES, planned
from ctcore.takes import takes_of

TAP = Tap(tap_id="t", terminals_text="S1-S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)


def plan(class_text: str, duty: str = "", work: str = "") -> list[str]:
    job = Job(job_id="j", header=Header(number_text="1", work_type_text=work))
    core = Core(core_id="c", number=1, class_text=class_text, taps=(TAP,), duty_text=duty)
    return [line.procedure_id for line in plan_of(job, core)]


def test_the_plan_of_a_new_installation_is_the_whole_day_in_its_order() -> None:
    assert plan("5P20 15 VA", "overcurrent protection", "new installation") == [
        "visual", "links", "insulation", "resistance", "demagnetising", "ratio", "excitation", "burden",
        "links_back", "injection", "load",
    ]  # fmt: skip


def test_direct_current_comes_before_demagnetising_and_that_before_ratio_and_curve() -> None:
    order = [test.procedure_id for test in PROCEDURES]
    at = {name: order.index(name) for name in order}

    assert at["resistance"] < at["kick"] < at["demagnetising"] < at["ratio"] < at["excitation"]


@pytest.mark.parametrize(
    "class_text", ["TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm", "TPZ Kssc 20 Ktd 12 Rb 10 ohm"]
)
def test_a_gapped_core_is_not_demagnetised(class_text: str) -> None:
    assert "demagnetising" not in plan(class_text)


def test_a_spare_core_has_no_burden_and_no_load() -> None:
    assert not {"burden", "injection", "load"} & set(plan("5P20 15 VA", "spare", "new installation"))


def test_maintenance_checks_the_load_of_what_has_a_direction() -> None:
    assert "load" in plan("PX Ek 200 V Ie 30 mA Rct 2.5 ohm", "bus differential", "maintenance")
    assert "load" not in plan("5P20 15 VA", "overcurrent", "maintenance")
    assert "injection" not in plan("PX Ek 200 V Ie 30 mA Rct 2.5 ohm", "bus differential", "maintenance")


def test_a_relay_that_asks_for_a_knee_has_its_duty_worked_out() -> None:
    assert "duty" in plan("PX Ek 200 V Ie 30 mA Rct 2.5 ohm", "high-impedance busbar protection")
    assert "duty" not in plan("5P20 15 VA", "overcurrent protection")


def test_a_class_that_cannot_be_read_gets_the_full_plan() -> None:
    assert "demagnetising" in plan("what is this")


def test_a_plan_is_offered_and_kept_only_when_it_is_taken() -> None:
    job = Job(job_id="j", header=Header(number_text="1"))
    core = Core(core_id="c", number=1, class_text="5P20 15 VA", taps=(TAP,))

    assert planned(core) == MEASURED
    assert "visual" in with_plan(job, core).procedures


def test_every_line_of_a_plan_says_why() -> None:
    job = Job(job_id="j", header=Header(number_text="1", work_type_text="commissioning"))
    core = Core(core_id="c", number=1, class_text="0.5 FS5 10 VA", taps=(TAP,))

    assert all(line.why.endswith(".") for line in plan_of(job, core))


def test_a_step_has_the_times_of_its_first_and_last_reading_in_all_takes() -> None:
    core = Core(core_id="c", number=1, class_text="5P20 15 VA", taps=(TAP,), procedures=("ratio", "load"))
    takes = takes_of(
        [reading(1, "08:00:00"), reading(1, "08:04:00"), reading(2, "09:00:00"), reading(2, "09:01:30")]
    )
    ratio, load = steps_of(core, takes)

    assert (ratio.began_utc, ratio.ended_utc) == ("2031-05-04T08:00:00Z", "2031-05-04T09:01:30Z")
    assert ratio.took_s == 240.0 + 90.0
    assert (load.began_utc, load.took_s, load.is_open) == ("", None, True)


def test_a_test_outside_the_plan_that_has_readings_stands_last() -> None:
    core = Core(core_id="c", number=1, class_text="5P20 15 VA", taps=(TAP,), procedures=("load",))

    assert [step.procedure_id for step in steps_of(core, takes_of([reading(1, "08:00:00")]))] == [
        "load", "ratio",
    ]  # fmt: skip


def test_the_plan_of_a_core_keeps_its_own_order() -> None:
    core = Core(core_id="c", number=1, class_text="", taps=(TAP,), procedures=("ratio", "insulation"))

    assert [test.procedure_id for test in planned(core)] == ["ratio", "insulation"]


def reading(take: int, at: str) -> Reading:
    return Reading(
        reading_id=f"{take}-{at}", core_id="c", procedure_id="ratio", take=take, row="t",
        quantity_id="polarity_read", as_typed_text="agrees", value_text="agrees", person_id="p",
        at_utc=f"2031-05-04T{at}Z", utc_offset_minutes=0, device_id="d", device_seq=1,
    )  # fmt: skip
