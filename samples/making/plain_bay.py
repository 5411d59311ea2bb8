"""A plain bay: two positions, three phases, two cores; clean, or with faults put in on purpose.

Everything a technician would key on one day, from counting links to closing them again. A fault is a small
change of what the meters show or of what is keyed; the rest of the bay stays as it is.
"""

from __future__ import annotations

from ctcore.job import CT, Core, Header, Instrument, Job, Person, Position, References, Tap
from samples.making import plain_tests
from samples.making.plain_tests import CLASSES, PHASES, Bay, Day, core_id, tap_id


def make(bay: Bay) -> Job:
    """The whole job."""
    day = Day.begin(bay)
    for position in bay.positions:
        steels = {}
        for core, number in day.cores(position):
            steels[core] = day.steel(number)
            plain_tests.visual(day, core, number)
            plain_tests.links_found(day, core, number)
        for core, number in day.cores(position):
            plain_tests.insulation(day, core, first=number == 1)
        for core, number in day.cores(position):
            plain_tests.resistance(day, core, number)
        for core, number in day.cores(position):
            plain_tests.demagnetise(day, core, steels[core])
            plain_tests.ratio(day, core, number)
            plain_tests.excite(day, core, number, steels[core])
        for core, number in day.cores(position):
            plain_tests.burden(day, core)
            plain_tests.links_back(day, core, number)
            plain_tests.links_left(day, core, number)
    return job_of(day)


def job_of(day: Day) -> Job:
    """The job around what was keyed on that day."""
    bay, book = day.bay, day.book
    return Job(
        job_id=bay.job_id,
        header=_header(bay, day.degc),
        state="being_tested",
        frequency_rated_hz=50.0,
        phase_names=PHASES,
        positions=tuple(_position(bay, position) for position in bay.positions),
        instruments=_instruments(),
        people=(
            Person(
                person_id="tester", name_text="Ilva Branoy", employer_text="Karrow test office (invented)"
            ),
        ),
        references=References(voltage_ceiling_v=650.0),
        readings=tuple(book.readings),
        acknowledgements=tuple(book.acknowledgements),
    )


def _position(bay: Bay, position: str) -> Position:
    return Position(
        position_id=position.replace(" ", "-").lower(),
        name_text=position,
        p1_faces_text="busbar",
        cts=tuple(_ct(bay, position, phase) for phase in PHASES),
    )


def _ct(bay: Bay, position: str, phase: str) -> CT:
    return CT(
        ct_id=f"{position} {phase}",
        phase_text=phase,
        serial_text=f"K{bay.seed % 90 + 10}-{bay.positions.index(position) + 1}{PHASES.index(phase) + 1}",
        type_text="post type, ring cores, low leakage",
        year_text="2025",
        um_kv=36.0,
        insulation="dry",
        plate_confirmed=True,
        cores=tuple(
            Core(
                core_id=core_id(position, phase, number),
                number=number,
                class_text=class_text,
                taps=tuple(
                    Tap(
                        tap_id=tap_id(number, last),
                        terminals_text=tap_id(number, last),
                        i_primary_rated_a=amperes,
                        i_secondary_rated_a=1.0,
                        turns_secondary_count=amperes,
                    )
                    for last, amperes in ((2, 300.0), (3, 600.0))
                ),
                duty_text=duty,
                service_tap_id=tap_id(number, 3),
                low_leakage=True,
                r_winding_75degc_plate_ohm=3.4 if number == 1 else 2.6,
                procedures=bay.plans[number],
            )
            for number, (class_text, duty) in CLASSES.items()
        ),
    )


def _header(bay: Bay, degc: float) -> Header:
    return Header(
        number_text=bay.number_text,
        title_text=bay.title_text,
        site_text="Karrow switching station (invented)",
        customer_text="Network office of the Karrow moor (invented)",
        organisation_text="Karrow test office (invented)",
        work_type_text="new installation",
        supply_text="Station supply",
        weather_text="Dry, overcast",
        ambient_degc=degc,
        humidity_percent=64.0,
        zone="Europe/London",
        paper="A4",
    )


def _instruments() -> tuple[Instrument, ...]:
    rows = (
        ("insulation-tester", "Insulation tester 03", "not stated", 5.0, 0.1, "Mohm", "2027-02-01"),
        ("ohmmeter", "Winding ohmmeter 05", "not stated", 0.1, 0.0005, "ohm", "2027-03-15"),
        ("old-ohmmeter", "Winding ohmmeter 02", "not stated", 0.1, 0.0005, "ohm", "2026-08-31"),
        ("voltmeter", "Voltmeter 11", "mean", 0.2, 0.01, "V", "2027-01-20"),
        ("millivoltmeter", "Millivoltmeter 12", "mean", 0.1, 0.01, "mV", "2027-01-20"),
        ("ammeter", "Ammeter 14", "true_rms", 0.3, 0.01, "mA", "2027-01-21"),
    )
    return tuple(
        Instrument(
            instrument_id=name,
            name_text=words,
            response=response,  # type: ignore[arg-type]
            spec_reading_percent=percent,
            spec_floor=floor,
            spec_floor_unit=unit,
            calibrated_on=f"{int(due[:4]) - 1}{due[4:]}",
            due_on=due,
        )
        for name, words, response, percent, floor, unit, due in rows
    )
