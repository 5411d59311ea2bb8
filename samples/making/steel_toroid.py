"""Two toroids whose excitation readings follow from B-H points that others measured and published.

E = (2 pi / sqrt 2) f N A B and I = H l / (N sqrt 2), both r.m.s.; arithmetic for a sine of flux, and for the
published H taken as an amplitude. The points stand with their header lines in `samples/steel/`.
"""

from __future__ import annotations

import csv
import math
from importlib import resources

from ctcore.job import CT, Core, Header, Instrument, Job, Person, Position, Tap
from samples.making.notebook import Notebook, Step, clock
from samples.making.winding import digits_text

JOB_ID = "sample-steel-toroid"
TURNS_COUNT = 120
PATH_M = 0.6
AREA_M2 = 12e-4
FREQUENCY_HZ = 50.0
TAP = "S1-S2"
STEELS = ("M270-35A", "M235-35A")
# The header of one file says that its points from 120 kA/m on are appended, not measured.
H_APPENDED_A_PER_M = 120e3


def points(steel: str) -> list[tuple[float, float]]:
    """Measured H in A/m and B in T of a steel, without the origin and without appended points."""
    text = resources.files("samples").joinpath(f"steel/pyleecan_{steel}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    found = [(float(row["H_A_per_m"]), float(row["B_T"])) for row in csv.DictReader(lines)]
    return [(h, b) for h, b in found if 0.0 < h < H_APPENDED_A_PER_M]


def emf_v(b_t: float) -> float:
    """Voltage of the winding at that peak flux density.

    >>> round(emf_v(1.0), 3)
    31.989
    """
    return 2.0 * math.pi / math.sqrt(2.0) * FREQUENCY_HZ * TURNS_COUNT * AREA_M2 * b_t


def current_a(h_a_per_m: float) -> float:
    """Exciting current of the winding at that peak field.

    >>> round(1000 * current_a(1.0), 4)
    3.5355
    """
    return h_a_per_m * PATH_M / (TURNS_COUNT * math.sqrt(2.0))


def make() -> Job:
    """The whole job."""
    book = Notebook(JOB_ID, "tester", "sample-device-3", clock(2026, 5, 19, 9, 0, offset_minutes=0))
    for number, steel in enumerate(STEELS, start=1):
        _excitation(book, number, steel)
    book.remark("", "", "No coil was wound: volts and amperes follow from published points of two steels.")
    cores = tuple(_core(number, steel) for number, steel in enumerate(STEELS, start=1))
    ct = CT(
        ct_id="toroids", phase_text="1", type_text="toroid, 0.6 m path, 12 cm²", insulation="dry", cores=cores
    )
    meters = (("voltmeter", "mean"), ("ammeter", "true_rms"))
    return Job(
        job_id=JOB_ID,
        header=Header(
            number_text="ST-1",
            title_text="Excitation of two steels",
            site_text="Bench (invented)",
            organisation_text="Bench of the samples (invented)",
            supply_text="computed",
            zone="Etc/UTC",
        ),
        state="being_tested",
        frequency_rated_hz=FREQUENCY_HZ,
        phase_names=("1",),
        positions=(Position(position_id="bench", name_text="Bench", cts=(ct,)),),
        instruments=tuple(
            Instrument(
                instrument_id=name,
                name_text=f"computed, as the {name} would show it",
                response=response,  # type: ignore[arg-type]
            )
            for name, response in meters
        ),
        people=(Person(person_id="tester", name_text="Ansa Fellmark"),),
        readings=tuple(book.readings),
        remarks=tuple(book.remarks),
    )


def _core(number: int, steel: str) -> Core:
    tap = Tap(tap_id=TAP, terminals_text=TAP, i_primary_rated_a=120.0, i_secondary_rated_a=1.0,
              turns_secondary_count=float(TURNS_COUNT))  # fmt: skip
    return Core(
        core_id=f"toroid-{number}",
        number=number,
        class_text="PX Ek 36 V Ie 600 mA Rct 1 ohm",
        taps=(tap,),
        duty_text=f"steel {steel}",
        service_tap_id=TAP,
        procedures=("excitation",),
    )


def _excitation(book: Notebook, number: int, steel: str) -> None:
    step = Step(
        f"toroid-{number}", "excitation", 1, {"v_excitation_v": "voltmeter", "i_excitation_a": "ammeter"}
    )
    book.method(
        step,
        tap_id=TAP,
        frequency_hz="50.0",
        voltage_response="mean",
        current_response="true_rms",
        demagnetised="yes_no_dc_since",
        primary_state="open",
        other_cores="open",
        links="lifted",
    )
    for row, (h, b) in enumerate(points(steel), start=1):
        book.row(
            step,
            str(row),
            v_excitation_v=digits_text(emf_v(b), 5),
            i_excitation_a=digits_text(1000.0 * current_a(h), 5),
        )
