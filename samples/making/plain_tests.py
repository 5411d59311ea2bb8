"""The tests of a plain day on one core, as a technician would key them, sound or with a fault put in."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from samples.making.notebook import FOUR_TESTS, Notebook, Step, clock
from samples.making.winding import Meter, Steel, copper_ohm, digits_text

PHASES = ("L1", "L2", "L3")
CLASSES = {1: ("5P20 15 VA", "overcurrent protection"), 2: ("0.5 FS5 10 VA", "billing meter")}
TURNS = 600.0
PLAN = (
    "visual", "links", "insulation", "resistance", "demagnetising", "ratio", "excitation", "burden",
    "links_back",
)  # fmt: skip
INSTRUMENTS = {
    **FOUR_TESTS,
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
    """One job: its names, its chance, the faults by core id, and the plan by number of the core."""

    job_id: str
    number_text: str
    title_text: str
    seed: int
    faults: Mapping[str, Faults] = field(default_factory=dict)
    positions: tuple[str, ...] = ("Feeder 1", "Feeder 2")
    plans: Mapping[int, tuple[str, ...]] = field(default_factory=lambda: dict.fromkeys(CLASSES, PLAN))


def core_id(position: str, phase: str, number: int) -> str:
    """The id of a core: "Feeder 1 L2 core 1"."""
    return f"{position} {phase} core {number}"


@dataclass(slots=True)
class Day:
    """The day in the making: its book, its chance, and the temperature of every winding."""

    bay: Bay
    book: Notebook
    chance: random.Random
    degc: float

    @classmethod
    def begin(cls, bay: Bay) -> Day:
        """The morning of that bay."""
        chance = random.Random(bay.seed)
        starts = clock(2026, 9, 8, 7, 5, offset_minutes=OFFSET_MINUTES)
        book = Notebook(bay.job_id, "tester", "sample-device-2", starts)
        return cls(bay, book, chance, round(chance.uniform(9.0, 17.0), 1))

    def cores(self, position: str) -> Iterator[tuple[str, int]]:
        """Id and number of each core of a position, phase by phase."""
        for phase in PHASES:
            for number in CLASSES:
                yield core_id(position, phase, number), number

    def fault(self, core: str) -> Faults:
        """What is wrong with that core."""
        return self.bay.faults.get(core, Faults())

    def steel(self, number: int) -> Steel:
        """A core of its own: sisters differ by a few per cent."""
        knee, current, slope, steep = (430.0, 0.045, 0.78, 18.0) if number == 1 else (38.0, 0.0036, 0.8, 20.0)
        few = self.chance.uniform
        return Steel(knee * few(0.98, 1.02), current * few(0.94, 1.06), slope + few(-0.01, 0.01), steep)


def visual(day: Day, core: str, number: int) -> None:
    """What was seen before anything was touched."""
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


def links_found(day: Day, core: str, number: int) -> None:
    """Every link and the earth as found."""
    step = Step(core, "links", 1, INSTRUMENTS)
    place = f"terminal box, {number}S2"
    day.book.method(step, earth_drawn_text=place, earth_place_text=place)
    for row, state in _link_states(number).items():
        day.book.row(step, row, link_found=state)


def links_left(day: Day, core: str, number: int) -> None:
    """The same again, as left."""
    step = Step(core, "links", 1, INSTRUMENTS)
    for row, state in _link_states(number).items():
        day.book.row(step, row, link_left=state)
    day.book.method(step, earth_left_text=f"terminal box, {number}S2", links_checked_text="Oda Venn")


def insulation(day: Day, core: str, *, first: bool) -> None:
    """The pairs of this core; those with the primary at the first one."""
    day.book.wait(60)
    step = Step(core, "insulation", 1, INSTRUMENTS)
    day.book.method(step, duration_s="60", t_winding_degc=str(day.degc), t_winding_source="surface_probe")
    rows = {"secondary_earth": "500", "secondary_secondary": "500"}
    if first:
        rows |= {"primary_secondary": "2500", "primary_earth": "5000"}
    for row, volts in rows.items():
        mohm = digits_text(day.chance.uniform(900.0, 2600.0), 3)
        day.book.row(step, row, v_test_v=volts, insulation_resistance_ohm=mohm)


def resistance(day: Day, core: str, number: int) -> None:
    """Both taps after the current settled."""
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


def demagnetise(day: Day, core: str, steel: Steel) -> None:
    """Run up over the knee and down to nothing."""
    day.book.wait(40)
    step = Step(core, "demagnetising", 1, INSTRUMENTS)
    day.book.method(step, demagnetising_method="ac_ramp")
    start = digits_text(1.2 * steel.v_knee_v, 3)
    day.book.row(
        step, "winding", v_start_v=start, steps_count="22", time_to_zero_s="45", demagnetising_end="zero"
    )


def ratio(day: Day, core: str, number: int) -> None:
    """Turns ratio by voltage, and polarity."""
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


def excite(day: Day, core: str, number: int, steel: Steel) -> None:
    """The curve of the whole winding."""
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


def burden(day: Day, core: str) -> None:
    """The circuit from the terminals."""
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


def links_back(day: Day, core: str, number: int) -> None:
    """Links counted closed again, and the loop proved."""
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
