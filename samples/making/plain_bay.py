"""A plain bay: two positions, three phases, two cores; clean, or with faults put in on purpose.

Everything a technician would key on one day, from counting links to closing them again. A fault is a small
change of what the meters show or of what is keyed; the rest of the bay stays as it is.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import dataclass, field

from ctcore.job import CT, Core, Header, Instrument, Job, Person, Position, References, Tap
from samples.making.notebook import Notebook, Step, clock
from samples.making.winding import Meter, Steel, copper_ohm, digits_text

PHASES = ("L1", "L2", "L3")
CLASSES = {1: ("5P20 15 VA", "overcurrent protection"), 2: ("0.5 FS5 10 VA", "billing meter")}
TURNS = 600.0
PLAN = (
    "visual", "links", "insulation", "resistance", "demagnetising", "ratio", "excitation", "burden",
    "links_back",
)  # fmt: skip
INSTRUMENTS = {
    "v_test_v": "insulation-tester",
    "insulation_resistance_ohm": "insulation-tester",
    "r_measured_ohm": "ohmmeter",
    "i_test_a": "ohmmeter",
    "v_secondary_v": "voltmeter",
    "v_primary_v": "millivoltmeter",
    "v_excitation_v": "voltmeter",
    "i_excitation_a": "ammeter",
    "v_start_v": "voltmeter",
    "v_burden_v": "voltmeter",
    "i_burden_a": "ammeter",
    "r_proof_ohm": "ohmmeter",
}
OVER_KNEE = (0.05, 0.1, 0.2, 0.3, 0.42, 0.55, 0.68, 0.78, 0.87, 0.94, 1.0, 1.05, 1.1, 1.15, 1.2)
OFFSET_MINUTES = 60


@dataclass(frozen=True, slots=True)
class Faults:
    """What is wrong with one core; by default nothing.

    `conductance_s` is a path beside the winding, `r_lead_ohm` leads left in, `current_factor` what the typed
    current is multiplied by, `slip_row` the one point typed ten times too large.
    """

    reversed: bool = False
    on_other_tap: bool = False
    conductance_s: float = 0.0
    r_lead_ohm: float = 0.0
    current_factor: float = 1.0
    slip_row: int = 0
    no_temperature: bool = False
    earths_count: int = 1
    old_ohmmeter: bool = False


@dataclass(frozen=True, slots=True)
class Bay:
    """One job: its names, its chance, and the faults by core id."""

    job_id: str
    number_text: str
    title_text: str
    seed: int
    faults: Mapping[str, Faults] = field(default_factory=dict)
    positions: tuple[str, ...] = ("Feeder 1", "Feeder 2")


def core_id(position: str, phase: str, number: int) -> str:
    """The id of a core: "Feeder 1 L2 core 1"."""
    return f"{position} {phase} core {number}"


@dataclass(slots=True)
class _Day:
    bay: Bay
    book: Notebook
    chance: random.Random
    degc: float

    def fault(self, core: str) -> Faults:
        return self.bay.faults.get(core, Faults())

    def steel(self, number: int) -> Steel:
        """A core of its own: sisters differ by a few per cent."""
        knee, current, slope, steep = (430.0, 0.045, 0.78, 18.0) if number == 1 else (38.0, 0.0036, 0.8, 20.0)
        few = self.chance.uniform
        return Steel(knee * few(0.98, 1.02), current * few(0.94, 1.06), slope + few(-0.01, 0.01), steep)


def make(bay: Bay) -> Job:
    """The whole job."""
    chance = random.Random(bay.seed)
    book = Notebook(
        bay.job_id, "tester", "sample-device-2", clock(2026, 9, 8, 7, 5, offset_minutes=OFFSET_MINUTES)
    )
    day = _Day(bay, book, chance, round(chance.uniform(9.0, 17.0), 1))
    steels: dict[str, Steel] = {}
    for position in bay.positions:
        for phase in PHASES:
            for number in CLASSES:
                steels[core_id(position, phase, number)] = day.steel(number)
                _visual(day, core_id(position, phase, number), number)
                _links_found(day, core_id(position, phase, number), number)
        for phase in PHASES:
            for number in CLASSES:
                _insulation(day, core_id(position, phase, number), first=number == 1)
        for phase in PHASES:
            for number in CLASSES:
                _resistance(day, core_id(position, phase, number), number)
        for phase in PHASES:
            for number in CLASSES:
                core = core_id(position, phase, number)
                _demagnetise(day, core, steels[core])
                _ratio(day, core, number)
                _excite(day, core, number, steels[core])
        for phase in PHASES:
            for number in CLASSES:
                _burden(day, core_id(position, phase, number))
                _links_back(day, core_id(position, phase, number), number)
                _links_left(day, core_id(position, phase, number), number)
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
    )


def _visual(day: _Day, core: str, number: int) -> None:
    day.book.wait(90)
    step = Step(core, "visual", 1, INSTRUMENTS)
    day.book.method(
        step,
        earths_drawn_count="1",
        earths_found_count=str(day.fault(core).earths_count),
        earth_place_text=f"terminal box, {number}S2",
        links_found_count="4",
        links_lifted_count="4",
    )
    for row in ("plate", "damage", "direction", "shorting", "unused"):
        day.book.row(step, row, check_answer="yes")


def _link_states(number: int) -> dict[str, str]:
    """The whole winding is in service, its lower tap is wired to nothing."""
    ends = {f"link {number}S{last}": "open" if last == 2 else "closed" for last in (1, 2, 3)}
    return {**ends, "earth": "closed"}


def _links_found(day: _Day, core: str, number: int) -> None:
    step = Step(core, "links", 1, INSTRUMENTS)
    place = f"terminal box, {number}S2"
    day.book.method(step, earth_drawn_text=place, earth_place_text=place)
    for row, state in _link_states(number).items():
        day.book.row(step, row, link_found=state)


def _links_left(day: _Day, core: str, number: int) -> None:
    step = Step(core, "links", 1, INSTRUMENTS)
    for row, state in _link_states(number).items():
        day.book.row(step, row, link_left=state)
    day.book.method(step, earth_left_text=f"terminal box, {number}S2", links_checked_text="Oda Venn")


def _insulation(day: _Day, core: str, *, first: bool) -> None:
    day.book.wait(60)
    step = Step(core, "insulation", 1, INSTRUMENTS)
    day.book.method(step, duration_s="60", t_winding_degc=str(day.degc), t_winding_source="surface_probe")
    rows = {"secondary_earth": "500", "secondary_secondary": "500"}
    if first:
        rows |= {"primary_secondary": "2500", "primary_earth": "5000"}
    for row, volts in rows.items():
        mohm = digits_text(day.chance.uniform(900.0, 2600.0), 3)
        day.book.row(step, row, v_test_v=volts, insulation_resistance_ohm=mohm)


def _resistance(day: _Day, core: str, number: int) -> None:
    day.book.wait(60)
    fault = day.fault(core)
    named = {**INSTRUMENTS, "r_measured_ohm": "old-ohmmeter"} if fault.old_ohmmeter else INSTRUMENTS
    step = Step(core, "resistance", 1, named)
    temperature = {} if fault.no_temperature else {"t_winding_degc": str(day.degc)}
    day.book.method(step, leads="four_wire", **temperature, t_winding_source="surface_probe")
    meter = Meter(0.0004, 4, day.chance)
    whole = copper_ohm((2.9 if number == 1 else 2.25) * day.chance.uniform(0.99, 1.01), day.degc)
    for last, ohm in ((2, 0.515 * whole), (3, whole)):
        day.book.wait(30)
        read = meter.shows(ohm + fault.r_lead_ohm)
        day.book.row(step, tap_id(number, last), r_measured_ohm=read, i_test_a="0.500", settle_s="30")


def _demagnetise(day: _Day, core: str, steel: Steel) -> None:
    day.book.wait(40)
    step = Step(core, "demagnetising", 1, INSTRUMENTS)
    day.book.method(step, demagnetising_method="ac_ramp")
    start = digits_text(1.2 * steel.v_knee_v, 3)
    day.book.row(
        step, "winding", v_start_v=start, steps_count="22", time_to_zero_s="45", demagnetising_end="zero"
    )


def _ratio(day: _Day, core: str, number: int) -> None:
    day.book.wait(60)
    fault = day.fault(core)
    step = Step(core, "ratio", 1, INSTRUMENTS)
    day.book.method(step, ratio_method="voltage")
    meter = Meter(0.0002, 5, day.chance)
    per_turn = 0.2 if number == 1 else 0.02
    for last, turns in ((2, TURNS / 2), (3, TURNS)):
        fed = TURNS / 2 if fault.on_other_tap else turns
        day.book.row(
            step,
            tap_id(number, last),
            v_secondary_v=meter.shows(per_turn * fed),
            v_primary_v=meter.shows(1000.0 * per_turn),
            polarity_read="opposes" if fault.reversed else "agrees",
        )


def _excite(day: _Day, core: str, number: int, steel: Steel) -> None:
    day.book.wait(90)
    fault = day.fault(core)
    step = Step(core, "excitation", 1, INSTRUMENTS)
    day.book.method(
        step,
        tap_id=tap_id(number, 3),
        frequency_hz="50.0",
        voltage_response="mean",
        current_response="true_rms",
        demagnetised="yes_no_dc_since",
        primary_state="open",
        other_cores="shorted",
        links="lifted",
    )
    volts, amperes = Meter(0.0, 4, day.chance), Meter(0.002, 4, day.chance)
    # The security factor of the measuring core is told well past its knee.
    shares = OVER_KNEE if number == 1 else (*OVER_KNEE, 1.3, 1.42, 1.55, 1.7)
    for row, share in enumerate(shares, start=1):
        reached = steel.v_knee_v * share * (1.0 + day.chance.uniform(-0.003, 0.003))
        slip = 10.0 if row == fault.slip_row else 1.0
        drawn = 1000.0 * drawn_a(steel, reached, fault.conductance_s) * fault.current_factor * slip
        day.book.row(step, str(row), v_excitation_v=volts.shows(reached), i_excitation_a=amperes.shows(drawn))


def drawn_a(steel: Steel, voltage_v: float, conductance_s: float) -> float:
    """Current of a core and of a path beside it: half of the core's is in step with the volts."""
    own = steel.current_a(voltage_v)
    in_step = own * math.sqrt(0.5) + conductance_s * voltage_v
    return math.hypot(in_step, own * math.sqrt(0.5))


def _burden(day: _Day, core: str) -> None:
    day.book.wait(60)
    step = Step(core, "burden", 1, INSTRUMENTS)
    day.book.method(step, burden_in_circuit_text="relay or meter with its leads")
    meter = Meter(0.001, 4, day.chance)
    day.book.row(
        step,
        "connected",
        v_burden_v=meter.shows(day.chance.uniform(5.5, 7.5)),
        i_burden_a=meter.shows(1.0),
        phase_burden_deg=f"{day.chance.uniform(8.0, 20.0):.1f}",
    )


def _links_back(day: _Day, core: str, number: int) -> None:
    day.book.wait(60)
    step = Step(core, "links_back", 1, INSTRUMENTS)
    day.book.method(
        step, links_closed_count="4", earths_left_count="1", earth_place_text=f"terminal box, {number}S2"
    )
    meter = Meter(0.005, 4, day.chance)
    day.book.row(step, "loop", r_proof_ohm=meter.shows(6.2))
    day.book.row(step, "earth_joint", r_proof_ohm=meter.shows(0.012))
    day.book.row(step, "earth_lifted", r_proof_ohm=f"{day.chance.uniform(300.0, 900.0):.0f}M")


def tap_id(number: int, last: int) -> str:
    """The terminals of a tap: "1S1-1S3"."""
    return f"{number}S1-{number}S{last}"


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
                procedures=PLAN,
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
