"""The ring bus: three multi-ratio current transformers with five leads, at 60 Hz."""

from __future__ import annotations

import random

from ctcore.job import (
    CT,
    Core,
    Header,
    Instrument,
    Job,
    Person,
    Position,
    References,
    Tap,
)
from ctcore.taps import pairs_from_sections
from samples.making.notebook import Notebook, Step, clock
from samples.making.winding import Meter, Steel, copper_ohm, digits_text

JOB_ID = "sample-ring-bus"
SECTION_TURNS = (40, 20, 100, 80)
TURNS_FULL = 240.0
T_WINDING_DEGC = 24.0
FULL = "X1-X5"
PART = "X3-X5"

INSTRUMENTS = {
    "r_measured_ohm": "ohmmeter",
    "i_test_a": "ohmmeter",
    "v_secondary_v": "voltmeter",
    "v_primary_v": "millivoltmeter",
    "i_excitation_a": "ammeter",
    "v_excitation_v": "voltmeter",
}
STEELS = {
    "A": Steel(392.0, 0.078, 0.76, 18.0),
    "B": Steel(388.0, 0.080, 0.76, 18.0),
    "C": Steel(395.0, 0.077, 0.77, 18.0),
}
R_75DEGC_OHM = {"A": 0.557, "B": 0.561, "C": 0.554}
# What the lead X5 of phase C adds: its stud was not tight.
R_STUD_OHM = {"A": 0.0, "B": 0.0, "C": 0.061}
VOLTS = (15, 30, 60, 100, 150, 200, 250, 300, 340, 370, 400, 425, 450, 470)


def make() -> Job:
    """The whole job."""
    book = Notebook(JOB_ID, "tester", "sample-device-2", clock(2026, 9, 2, 8, 15, offset_minutes=-300))
    chance = random.Random(20260902)
    for phase in STEELS:
        _resistance(book, phase, chance)
    for phase in STEELS:
        _ratio(book, phase, chance)
    for phase in STEELS:
        _excitation(book, phase, chance, take=1, tap=FULL, turns=TURNS_FULL)
    _excitation(book, "A", chance, take=2, tap=PART, turns=180.0)
    return Job(
        job_id=JOB_ID,
        header=_header(),
        state="being_tested",
        frequency_rated_hz=60.0,
        phase_names=("A", "B", "C"),
        positions=(_position(),),
        instruments=_instruments(),
        people=(
            Person(person_id="tester", name_text="Perrin Ashgrove", employer_text="Test crew (invented)"),
        ),
        references=References(voltage_ceiling_v=600.0),
        readings=tuple(book.readings),
        acknowledgements=tuple(book.acknowledgements),
        remarks=tuple(book.remarks),
    )


def _resistance(book: Notebook, phase: str, chance: random.Random) -> None:
    book.wait(300)
    meter = Meter(0.0004, 4, chance)
    step = Step(_core_id(phase), "resistance", 1, INSTRUMENTS)
    book.read_caution(step.core_id, "resistance", "resistance.interrupting")
    book.method(
        step, leads="four_wire", t_winding_degc=f"{T_WINDING_DEGC:.1f}", t_winding_source="surface_probe"
    )
    whole = copper_ohm(R_75DEGC_OHM[phase], T_WINDING_DEGC)
    for pair in pairs_from_sections(SECTION_TURNS):
        ohm = whole * pair.turns_count / TURNS_FULL + (R_STUD_OHM[phase] if pair.last == "X5" else 0.0)
        book.wait(20)
        book.row(step, pair.name, r_measured_ohm=meter.shows(ohm), i_test_a="2.00", settle_s="20")
    book.read_caution(step.core_id, "resistance", "resistance.magnetised")
    if phase == "C":
        book.remark(step.core_id, "resistance", "Every pair that ends at X5 reads high; its stud is loose.")


def _ratio(book: Notebook, phase: str, chance: random.Random) -> None:
    """Half a volt per turn on each pair of leads; the primary shows half a volt each time."""
    book.wait(300)
    volts, millivolts = Meter(0.0003, 5, chance), Meter(0.0003, 5, chance)
    step = Step(_core_id(phase), "ratio", 1, INSTRUMENTS)
    book.read_caution(step.core_id, "ratio", "ratio.part_winding")
    book.method(step, ratio_method="voltage")
    exciting_full_a = STEELS[phase].current_a(0.5 * TURNS_FULL)
    for pair in pairs_from_sections(SECTION_TURNS):
        book.row(
            step,
            pair.name,
            v_secondary_v=volts.shows(0.5 * pair.turns_count),
            v_primary_v=millivolts.shows(500.0),
            i_excitation_a=digits_text(1000.0 * exciting_full_a * TURNS_FULL / pair.turns_count, 3),
            polarity_read="agrees",
        )


def _excitation(
    book: Notebook, phase: str, chance: random.Random, *, take: int, tap: str, turns: float
) -> None:
    book.wait(360)
    volts, amperes = Meter(0.0, 4, chance), Meter(0.003, 4, chance)
    step = Step(_core_id(phase), "excitation", take, INSTRUMENTS)
    if tap != FULL:
        book.read_caution(step.core_id, "excitation", "excitation.part_winding")
    book.read_caution(step.core_id, "excitation", "excitation.test_voltage")
    book.method(
        step,
        tap_id=tap,
        frequency_hz="60.0",
        voltage_response="mean",
        current_response="true_rms",
        demagnetised="yes_no_dc_since",
        primary_state="open",
        other_cores="none",
        links="lifted",
    )
    for row, volt_full in enumerate(VOLTS, start=1):
        reached_full = volt_full * (1.0 + chance.uniform(-0.004, 0.004))
        book.row(
            step,
            str(row),
            v_excitation_v=volts.shows(reached_full * turns / TURNS_FULL),
            i_excitation_a=amperes.shows(1000.0 * STEELS[phase].current_a(reached_full) * TURNS_FULL / turns),
        )


def _core_id(phase: str) -> str:
    return f"{phase}-core-1"


def _position() -> Position:
    return Position(
        position_id="breaker-bushings",
        name_text="Breaker 12, bushings 1-3-5",
        p1_faces_text="north bus",
        cts=tuple(_ct(phase, f"R-77{number}") for number, phase in enumerate(STEELS, start=1)),
    )


def _ct(phase: str, serial_text: str) -> CT:
    taps = tuple(
        Tap(
            tap_id=pair.name,
            terminals_text=pair.name,
            i_primary_rated_a=pair.i_primary_rated_a,
            i_secondary_rated_a=5.0,
            turns_secondary_count=pair.turns_count,
        )
        for pair in pairs_from_sections(SECTION_TURNS)
    )
    core = Core(
        core_id=_core_id(phase),
        number=1,
        class_text="C400",
        taps=taps,
        duty_text="bus differential",
        service_tap_id=FULL,
        low_leakage=True,
        procedures=("resistance", "ratio", "excitation"),
    )
    return CT(
        ct_id=f"ct-{phase}",
        phase_text=phase,
        serial_text=serial_text,
        maker_text="not shown in this sample",
        type_text="bushing type, multi-ratio",
        year_text="2025",
        um_kv=145.0,
        insulation="dry",
        plate_confirmed=True,
        cores=(core,),
    )


def _header() -> Header:
    return Header(
        number_text="RB-12-05",
        title_text="Bushing current transformers of breaker 12",
        site_text="Hollowmere ring bus (invented)",
        customer_text="Hollowmere district power (invented)",
        organisation_text="Test crew (invented)",
        organisation_address_text="Yard 2, Hollowmere",
        organisation_mark_text="RB",
        work_order_text="4471-C",
        work_type_text="replacement",
        permits_text="Clearance 31, issued 07:50",
        supply_text="Station service, 60.0 Hz",
        weather_text="Dry, sun",
        ambient_degc=24.0,
        humidity_percent=48.0,
        zone="America/Chicago",
        paper="Letter",
    )


def _instruments() -> tuple[Instrument, ...]:
    return (
        Instrument(instrument_id="ohmmeter", name_text="Winding ohmmeter A4", kind_text="four-wire ohmmeter",
                   serial_text="A4-220", spec_reading_percent=0.1, spec_floor=0.0002, spec_floor_unit="ohm",
                   calibrated_on="2026-04-14", due_on="2027-04-13", certificate_text="2231"),
        Instrument(instrument_id="voltmeter", name_text="Voltmeter B1", kind_text="voltmeter, average scaled",
                   serial_text="B1-071", response="mean", spec_reading_percent=0.2, spec_floor=0.01,
                   spec_floor_unit="V", calibrated_on="2026-01-20", due_on="2027-01-19",
                   certificate_text="2187"),
        Instrument(instrument_id="millivoltmeter", name_text="Voltmeter B2", kind_text="millivoltmeter",
                   serial_text="B2-018", response="mean", spec_reading_percent=0.1, spec_floor=0.01,
                   spec_floor_unit="mV", calibrated_on="2026-01-20", due_on="2027-01-19",
                   certificate_text="2188"),
        Instrument(instrument_id="ammeter", name_text="Ammeter B7", kind_text="ammeter, true r.m.s.",
                   serial_text="B7-340", response="true_rms", spec_reading_percent=0.3, spec_floor=0.01,
                   spec_floor_unit="mA", calibrated_on="2026-01-21", due_on="2027-01-20",
                   certificate_text="2190"),
    )  # fmt: skip
