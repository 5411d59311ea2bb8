"""The line bay: one day on three current transformers with two cores each."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

from ctcore.job import (
    CT,
    Core,
    Deviation,
    Header,
    Instrument,
    Job,
    Person,
    Position,
    References,
    Tap,
    places,
)
from samples.making.landing import landed
from samples.making.notebook import FOUR_TESTS, Notebook, Step, clock
from samples.making.winding import Meter, Steel, copper_ohm, digits_text, errors

JOB_ID = "sample-line-bay"
T_WINDING_DEGC = 11.5

INSTRUMENTS = {
    **FOUR_TESTS,
    "ratio_error_read_percent": "error-bridge",
    "phase_displacement_arcmin": "error-bridge",
    "i_percent_rated_percent": "error-bridge",
}


@dataclass(frozen=True, slots=True)
class Phase:
    """One phase: what tells its transformer from its sisters."""

    name: str
    serial_text: str
    protection: Steel
    metering: Steel
    r_protection_75degc_ohm: float
    r_metering_75degc_ohm: float
    insulation_mohm: tuple[str, str, str, str, str]


PHASES = (
    Phase(
        "L1", "B24-0311", Steel(431.0, 0.046, 0.78, 16.0), Steel(38.2, 0.0035, 0.80, 20.0), 2.872, 2.214,
        ("1840", "2150", ">20000", ">20000", "1560"),
    ),
    Phase(
        "L2", "B24-0312", Steel(427.0, 0.048, 0.77, 16.0), Steel(37.9, 0.0037, 0.79, 20.0), 2.894, 2.229,
        ("1710", "1980", ">20000", ">20000", "1490"),
    ),
    Phase(
        "L3", "B24-0314", Steel(433.0, 0.045, 0.79, 16.0), Steel(38.4, 0.0034, 0.80, 20.0), 2.861, 2.207,
        ("1650", "74.0", ">20000", "18600", "0.38"),
    ),
)  # fmt: skip

PROTECTION_VOLTS = (20, 40, 80, 120, 180, 240, 300, 340, 370, 400, 425, 445, 465, 485, 500)
METERING_VOLTS = (2, 4, 8, 12, 18, 24, 28, 32, 35, 38, 41, 44, 48, 53, 57)
ERROR_PERCENTS = (1, 5, 20, 100, 120)
TURNS_METERING = 599.0
HALF_METERING = 299.0 / 599.0


def make() -> Job:
    """The whole job."""
    book = Notebook(JOB_ID, "tester", "sample-device-1", clock(2026, 10, 13, 7, 40, offset_minutes=120))
    chance = random.Random(20261013)
    for phase in PHASES:
        _insulation(book, phase)
    for phase in PHASES:
        _resistance(book, phase, chance)
    for phase in PHASES:
        _ratio_protection(book, phase, chance)
        _ratio_metering(book, phase, chance)
    for phase in PHASES:
        _excitation(book, phase, chance)
    book.remark("", "", "One secondary earth, in the terminal box as drawn. 12 links lifted, 12 closed.")
    job = Job(
        job_id=JOB_ID,
        header=_header(),
        state="being_tested",
        frequency_rated_hz=50.0,
        phase_names=("L1", "L2", "L3"),
        positions=(_position(),),
        instruments=_instruments(),
        people=_people(),
        references=References(voltage_ceiling_v=600.0),
        readings=tuple(book.readings),
        acknowledgements=tuple(book.acknowledgements),
        remarks=tuple(book.remarks),
        deviations=(_deviation(),),
    )
    return landed(job, places(job)[0], "excitation")


def _insulation(book: Notebook, phase: Phase) -> None:
    book.wait(420)
    earth_1, between, to_secondaries, to_earth, earth_2 = phase.insulation_mohm
    for number, secondary in ((1, earth_1), (2, earth_2)):
        step = Step(_core_id(phase, number), "insulation", 1, INSTRUMENTS)
        book.read_caution(step.core_id, "insulation", "insulation.test_voltage")
        book.method(
            step, duration_s="60", t_winding_degc=str(T_WINDING_DEGC), t_winding_source="surface_probe"
        )
        book.row(step, "secondary_earth", v_test_v="500", insulation_resistance_ohm=secondary)
        book.row(step, "secondary_secondary", v_test_v="500", insulation_resistance_ohm=between)
        if number == 1:
            book.row(step, "primary_secondary", v_test_v="2500", insulation_resistance_ohm=to_secondaries)
            book.row(step, "primary_earth", v_test_v="5000", insulation_resistance_ohm=to_earth)
        book.read_caution(step.core_id, "insulation", "insulation.charge")
    if phase.name == "L3":
        book.remark(
            _core_id(phase, 2), "insulation", "Terminal box wet inside; seal of the cover is cracked."
        )


def _resistance(book: Notebook, phase: Phase, chance: random.Random) -> None:
    book.wait(300)
    meter = Meter(0.0004, 4, chance)
    for number, r_75degc_ohm in ((1, phase.r_protection_75degc_ohm), (2, phase.r_metering_75degc_ohm)):
        whole = copper_ohm(r_75degc_ohm, T_WINDING_DEGC)
        half = 0.52 * whole
        unsettled = phase.name == "L2" and number == 1
        takes = ((1, 1.031), (2, 1.0)) if unsettled else ((1, 1.0),)
        for take, drift in takes:
            step = Step(_core_id(phase, number), "resistance", take, INSTRUMENTS)
            if take == 1:
                book.read_caution(step.core_id, "resistance", "resistance.interrupting")
            else:
                book.method(step, retest_reason_text="The first reading had not settled.")
            settle = "5" if unsettled and take == 1 else "40"
            book.method(
                step, leads="four_wire", t_winding_degc=str(T_WINDING_DEGC), t_winding_source="surface_probe"
            )
            for tap, ohm in ((_tap_id(number, 2), half), (_tap_id(number, 3), whole)):
                book.wait(float(settle))
                slip = phase.name == "L3" and number == 2 and tap == _tap_id(2, 2)
                ohm_text = meter.shows(ohm * drift)
                made = book.row(
                    step, tap, r_measured_ohm=ohm_text, i_test_a="5.00" if slip else "0.500", settle_s=settle
                )
                if slip:
                    book.correct(made[1], "0.500", "Decimal slip; the source was set to 0.5 A.")
        book.read_caution(_core_id(phase, number), "resistance", "resistance.magnetised")


def _ratio_protection(book: Notebook, phase: Phase, chance: random.Random) -> None:
    book.wait(240)
    volts, millivolts = Meter(0.0003, 5, chance), Meter(0.0003, 5, chance)
    step = Step(_core_id(phase, 1), "ratio", 1, INSTRUMENTS)
    book.method(step, ratio_method="voltage")
    for last, turns in ((2, 300.0), (3, 600.0)):
        applied = 0.2 * turns
        exciting = phase.protection.current_a(0.2 * 600.0) * 600.0 / turns
        book.row(
            step,
            _tap_id(1, last),
            v_secondary_v=volts.shows(applied),
            v_primary_v=millivolts.shows(200.0),
            i_excitation_a=digits_text(1000.0 * exciting, 3),
            polarity_read="agrees",
        )


def _ratio_metering(book: Notebook, phase: Phase, chance: random.Random) -> None:
    """Errors at the rated burden and at a quarter of it, on both ratios."""
    book.wait(240)
    core_id = _core_id(phase, 2)
    book.read_caution(core_id, "ratio", "ratio.open_secondary")
    runs = [(10.0, 0.8, percent) for percent in ERROR_PERCENTS] + [(2.5, 1.0, 5), (2.5, 1.0, 100)]
    r_winding = copper_ohm(phase.r_metering_75degc_ohm, T_WINDING_DEGC)
    for take, (burden_va, power_factor, percent) in enumerate(runs, start=1):
        step = Step(core_id, "ratio", take, INSTRUMENTS)
        words = f"burden box, {burden_va:g} VA at power factor {power_factor:g}"
        book.method(
            step,
            ratio_method="instrument",
            burden_in_circuit_va=f"{burden_va:g}",
            burden_power_factor_ratio=f"{power_factor:g}",
            burden_in_circuit_text=words,
        )
        burden = complex(burden_va * power_factor, burden_va * math.sqrt(1.0 - power_factor**2))
        for last, part in ((2, HALF_METERING), (3, 1.0)):
            ratio_error, phase_arcmin = errors(
                phase.metering,
                turns_count=TURNS_METERING * part,
                turns_whole_count=TURNS_METERING,
                k_rated_ratio=300.0 * (last - 1),
                i_secondary_a=percent / 100.0,
                z_loop_ohm=(0.52 if last == 2 else 1.0) * r_winding + burden,
            )
            book.wait(25)
            book.row(
                step,
                _tap_id(2, last),
                i_percent_rated_percent=str(percent),
                ratio_error_read_percent=f"{ratio_error + chance.gauss(0.0, 0.003):.3f}",
                phase_displacement_arcmin=f"{phase_arcmin + chance.gauss(0.0, 0.1):.1f}",
                polarity_read="agrees",
            )


def _excitation(book: Notebook, phase: Phase, chance: random.Random) -> None:
    book.wait(360)
    volts, amperes = Meter(0.0, 4, chance), Meter(0.003, 4, chance)
    runs = ((1, phase.protection, PROTECTION_VOLTS), (2, phase.metering, METERING_VOLTS))
    for number, steel, wanted in runs:
        step = Step(_core_id(phase, number), "excitation", 1, INSTRUMENTS)
        book.read_caution(step.core_id, "excitation", "excitation.primary")
        book.read_caution(step.core_id, "excitation", "excitation.test_voltage")
        book.method(
            step,
            tap_id=_tap_id(number, 3),
            frequency_hz="50.0",
            voltage_response="mean",
            current_response="true_rms",
            demagnetised="yes_no_dc_since",
            primary_state="open",
            other_cores="shorted",
            links="lifted",
        )
        row = 0
        for volt in wanted:
            reached = volt * (1.0 + chance.uniform(-0.004, 0.004))
            texts = {
                "v_excitation_v": volts.shows(reached),
                "i_excitation_a": amperes.shows(1000.0 * steel.current_a(reached)),
            }
            if phase.name == "L3" and number == 1 and volt == 340:
                row += 1
                dipped = dict(texts, i_excitation_a=amperes.shows(870.0 * steel.current_a(reached)))
                made = book.row(step, str(row), **dipped)
                book.strike(made, "Supply dipped while the ammeter was read.")
            row += 1
            book.row(step, str(row), **texts)


def _core_id(phase: Phase, number: int) -> str:
    return f"{phase.name}-core-{number}"


def _tap_id(number: int, last: int) -> str:
    return f"{number}S1-{number}S{last}"


def _taps(number: int, turns: dict[int, float]) -> tuple[Tap, ...]:
    return tuple(
        Tap(
            tap_id=_tap_id(number, last),
            terminals_text=_tap_id(number, last),
            i_primary_rated_a=count,
            i_secondary_rated_a=1.0,
            turns_secondary_count=count if number == 1 else None,
        )
        for last, count in turns.items()
    )


def _position() -> Position:
    return Position(
        position_id="line-side",
        name_text="Line side of the breaker",
        p1_faces_text="busbar",
        cts=tuple(_ct(phase) for phase in PHASES),
    )


def _ct(phase: Phase) -> CT:
    duties = ((1, "5P20 15 VA", "distance protection"), (2, "0.5S FS5 10 VA", "billing meter"))
    return CT(
        ct_id=f"ct-{phase.name}",
        phase_text=phase.name,
        serial_text=phase.serial_text,
        maker_text="not shown in this sample",
        type_text="post type, ring cores, low leakage",
        year_text="2024",
        um_kv=123.0,
        insulation="oil",
        plate_confirmed=True,
        cores=tuple(
            Core(
                core_id=_core_id(phase, number),
                number=number,
                class_text=class_text,
                taps=_taps(number, {2: 300.0, 3: 600.0}),
                duty_text=duty,
                service_tap_id=_tap_id(number, 3),
                low_leakage=True,
                r_winding_75degc_plate_ohm=3.0 if number == 1 else 2.4,
            )
            for number, class_text, duty in duties
        ),
    )


def _header() -> Header:
    return Header(
        number_text="SB-2026-014",
        title_text="Current transformers of the line bay before first energising",
        site_text="Sornbeck switching station, bay 4 (invented)",
        customer_text="Network office of the Sorn valley (invented)",
        organisation_text="Sornbeck test office (invented)",
        organisation_address_text="Weir lane 3, Sornbeck",
        organisation_mark_text="SB",
        work_order_text="W-20714",
        work_type_text="new installation",
        drawings_text="Bay 4, circuit diagram sheet 12, revision C",
        relay_settings_text="Setting sheet 4-21, revision 2",
        permits_text="Sanction for test 88, issued 07:15",
        supply_text="Station supply, sine by eye on the scope",
        weather_text="Rain in the night, dry since 06:00",
        ambient_degc=11.0,
        humidity_percent=82.0,
        outage_ends_text="Wednesday 14 October, 16:00",
        zone="Europe/Berlin",
        paper="A4",
    )


def _people() -> tuple[Person, ...]:
    office = "Sornbeck test office (invented)"
    return (
        Person(
            person_id="tester", name_text="Mirel Oxanard", employer_text=office, authorisation_text="Level 2"
        ),
        Person(person_id="second", name_text="Tove Quillan", employer_text=office),
    )


def _instruments() -> tuple[Instrument, ...]:
    def row(
        name: str, words: str, kind: str, spec: float, floor: float, unit: str, **more: str
    ) -> Instrument:
        return Instrument(
            instrument_id=name,
            name_text=words,
            kind_text=kind,
            serial_text=more["serial"],
            response=more.get("response", "not stated"),  # type: ignore[arg-type]
            spec_reading_percent=spec,
            spec_floor=floor,
            spec_floor_unit=unit,
            calibrated_on=more["on"],
            due_on=more["due"],
            certificate_text=more["certificate"],
        )

    return (
        row("insulation-tester", "Insulation tester 07", "insulation tester to 5 kV", 5.0, 0.1, "Mohm",
            serial="0700413", on="2026-03-02", due="2027-03-01", certificate="K-1181"),
        row("ohmmeter", "Winding ohmmeter 12", "four-wire ohmmeter", 0.1, 0.0005, "ohm",
            serial="1200087", on="2026-05-18", due="2027-05-17", certificate="K-1240"),
        row("voltmeter", "Voltmeter 21", "voltmeter, average scaled", 0.2, 0.01, "V", response="mean",
            serial="2100552", on="2026-02-09", due="2027-02-08", certificate="K-1153"),
        row("millivoltmeter", "Millivoltmeter 22", "millivoltmeter", 0.1, 0.01, "mV", response="mean",
            serial="2200119", on="2026-02-09", due="2027-02-08", certificate="K-1154"),
        row("ammeter", "Ammeter 31", "ammeter, crest factor 5", 0.3, 0.01, "mA", response="true_rms",
            serial="3100870", on="2026-02-10", due="2027-02-09", certificate="K-1155"),
        row("error-bridge", "Error bridge 40", "comparator of errors with standard transformer", 1.0, 0.01,
            "percent", serial="4000026", on="2026-06-22", due="2027-06-21", certificate="K-1262"),
    )  # fmt: skip


def _deviation() -> Deviation:
    return Deviation(
        deviation_id="deviation-1",
        core_id="L3-core-2",
        procedure_id="insulation",
        found_text="Secondary 2 of L3 to earth 0.38 MΩ at 11.5 °C; water in the terminal box.",
        decision_text="Box to be dried and sealed, then tested again before energising.",
        person_id="tester",
        at_utc="2026-10-13T06:20:00Z",
    )
