"""A transformer bay with every test there is: the plain day, and what takes longer, more current, or load."""

from __future__ import annotations

from dataclasses import replace

from ctcore.job import Instrument, Job
from ctcore.judgement.insulation_time import SECONDS
from ctcore.procedures import PROCEDURES, procedure
from samples.making import plain_tests
from samples.making.notebook import Step
from samples.making.plain_bay import job_of
from samples.making.plain_tests import INSTRUMENTS, PHASES, TURNS, Bay, Day, tap_id
from samples.making.winding import Meter, digits_text

JOB_ID = "sample-every-test"
POSITION = "Transformer bay"
EVERY = tuple(test.procedure_id for test in PROCEDURES)
# What a high-impedance relay asks is asked of protection cores alone.
PLANS = {1: EVERY, 2: tuple(test for test in EVERY if test != "duty")}
CLAMP = "clamp"
DEVICES = {1: ("test block", "transformer relay"), 2: ("test block", "bay meter")}
GROWS = {"L1": 0.21, "L2": 0.19, "L3": 0.06}
LOAD_PRIMARY_A, LOAD_LAGS_DEG = 236.0, 18.0


def make() -> Job:
    """The whole job."""
    title = "Transformer bay, from links found to load in service"
    bay = Bay(JOB_ID, "KM-2026-040", title, 20260911, positions=(POSITION,), plans=PLANS)
    day = Day.begin(bay)
    steels = {core: day.steel(number) for core, number in day.cores(POSITION)}
    for core, number in day.cores(POSITION):
        _read(day, core, number)
        plain_tests.visual(day, core, number)
        plain_tests.links_found(day, core, number)
        plain_tests.insulation(day, core, first=number == 1)
    for core, _number in day.cores(POSITION):
        _over_time(day, core)
    for core, number in day.cores(POSITION):
        plain_tests.resistance(day, core, number)
        _kick(day, core, number)
        plain_tests.demagnetise(day, core, steels[core])
        plain_tests.ratio(day, core, number)
        plain_tests.excite(day, core, number, steels[core])
    for core, number in day.cores(POSITION):
        plain_tests.burden(day, core)
        _leads(day, core)
        if "duty" in PLANS[number]:
            _duty(day, core)
        plain_tests.links_back(day, core, number)
        plain_tests.links_left(day, core, number)
    for core, number in day.cores(POSITION):
        for take, device in enumerate(DEVICES[number], start=1):
            _inject(day, core, take, device)
    for core, _number in day.cores(POSITION):
        _load(day, core)
    job = job_of(day)
    used = {reading.instrument_id for reading in job.readings}
    taken_along = tuple(one for one in job.instruments if one.instrument_id in used)
    return replace(job, instruments=(*taken_along, _clamp()))


def _read(day: Day, core: str, number: int) -> None:
    for procedure_id in PLANS[number]:
        for caution_id in procedure(procedure_id).cautions:
            day.book.read_caution(core, procedure_id, caution_id)


def _over_time(day: Day, core: str) -> None:
    """Absorption: R grows with a power of the time; that of L3 is damp and grows little."""
    day.book.wait(120)
    step = Step(core, "insulation_time", 1, INSTRUMENTS)
    day.book.method(
        step, insulation_pair="secondary_earth", v_test_v="500", t_winding_degc=str(day.degc),
        t_winding_source="surface_probe",
    )  # fmt: skip
    grows = next(power for phase, power in GROWS.items() if f" {phase} " in core)
    after_a_minute_mohm = day.chance.uniform(1100.0, 1900.0) * (0.3 if grows < 0.1 else 1.0)
    meter = Meter(0.008, 3, day.chance)
    for row, seconds in SECONDS.items():
        shown = meter.shows(after_a_minute_mohm * (seconds / 60.0) ** grows)
        day.book.row(step, row, insulation_resistance_ohm=shown)


def _kick(day: Day, core: str, number: int) -> None:
    day.book.wait(60)
    step = Step(core, "kick", 1, INSTRUMENTS)
    day.book.row(step, tap_id(number, 3), kick_make="up", kick_break="down")


def _leads(day: Day, core: str) -> None:
    """62 m of 4 mm² there and back, and the joints."""
    step = Step(core, "burden", 1, INSTRUMENTS)
    day.book.method(step, wire_area_mm2="4", wire_length_m="62", wire_loop="there_and_back")
    meter = Meter(0.001, 4, day.chance)
    ohm = day.chance.uniform(0.56, 0.6)
    day.book.row(
        step, "leads", v_burden_v=meter.shows(ohm), i_burden_a=meter.shows(1.0), phase_burden_deg="1.8"
    )


def _duty(day: Day, core: str) -> None:
    step = Step(core, "duty", 1, INSTRUMENTS)
    day.book.row(
        step,
        "high_impedance",
        i_fault_primary_a="12 k",
        r_loop_ohm="0.6",
        r_relay_ohm="0",
        i_setting_a="0.05",
    )


def _inject(day: Day, core: str, take: int, device: str) -> None:
    """A third of rated current through one phase, then through two against one another."""
    day.book.wait(90)
    step = Step(
        core, "injection", take, {"i_primary_a": CLAMP, "i_secondary_a": CLAMP, "i_residual_a": CLAMP}
    )
    day.book.method(step, device_read_text=device)
    for row, residual_share in (("one_phase", 1.0), ("two_phases", 0.012)):
        primary_a = day.chance.uniform(198.0, 203.0)
        secondary_a = primary_a / TURNS * day.chance.uniform(0.995, 1.003)
        day.book.row(
            step,
            row,
            i_primary_a=digits_text(primary_a, 4),
            i_secondary_a=digits_text(secondary_a, 4),
            phase_secondary_deg=f"{day.chance.uniform(-0.6, 1.2):.1f}",
            i_residual_a=digits_text(secondary_a * residual_share, 3),
        )


def _load(day: Day, core: str) -> None:
    day.book.wait(60)
    step = Step(core, "load", 1, {"i_secondary_a": CLAMP})
    day.book.method(step, voltage_reference_text="L1 of the busbar", i_load_primary_a=f"{LOAD_PRIMARY_A:.0f}")
    phase = next(index for index, name in enumerate(PHASES) if f" {name} " in core)
    degrees = -LOAD_LAGS_DEG - 120.0 * phase + day.chance.uniform(-0.8, 0.8)
    secondary_a = LOAD_PRIMARY_A / TURNS * day.chance.uniform(0.99, 1.01)
    day.book.row(
        step,
        "load",
        i_secondary_a=digits_text(secondary_a, 3),
        phase_to_reference_deg=f"{(degrees + 180.0) % 360.0 - 180.0:.1f}",
    )


def _clamp() -> Instrument:
    return Instrument(
        instrument_id=CLAMP,
        name_text="Clamp ammeter 21",
        response="true_rms",
        spec_reading_percent=1.0,
        spec_floor=0.001,
        spec_floor_unit="A",
        calibrated_on="2026-02-11",
        due_on="2027-02-11",
    )
