"""The plain bay clean, and with ten faults put in on purpose; what must be noticed stands beside it."""

from __future__ import annotations

from ctcore.job import Job
from samples.making.plain_bay import make
from samples.making.plain_tests import Bay, Faults, core_id

ONE, TWO = "Feeder 1", "Feeder 2"
TURN_S = 1.0 / (600.0 * 2.9)
# A loop of 4 milliohm across the primary, seen from 600 turns.
LOOP_S = 1.0 / (600.0**2 * 0.004)

FAULTS: dict[str, Faults] = {
    core_id(ONE, "L1", 2): Faults(on_other_tap=True),
    core_id(ONE, "L2", 1): Faults(reversed=True),
    core_id(ONE, "L3", 1): Faults(conductance_s=TURN_S),
    core_id(ONE, "L1", 1): Faults(current_factor=1000.0),
    core_id(ONE, "L2", 2): Faults(slip_row=6),
    core_id(ONE, "L3", 2): Faults(no_temperature=True),
    core_id(TWO, "L1", 1): Faults(conductance_s=LOOP_S),
    core_id(TWO, "L1", 2): Faults(conductance_s=LOOP_S),
    core_id(TWO, "L2", 1): Faults(earths_count=2),
    core_id(TWO, "L2", 2): Faults(old_ohmmeter=True),
    core_id(TWO, "L3", 1): Faults(r_lead_ohm=0.35),
}

# What the program must notice, and on which cores; nothing else.
EXPECTED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("wrong_tap", (core_id(ONE, "L1", 2),)),
    ("reversed_phase", (core_id(ONE, "L2", 1),)),
    ("shorted_turn", (core_id(ONE, "L3", 1),)),
    ("factor_1000", (core_id(ONE, "L1", 1),)),
    ("decimal_slip", (core_id(ONE, "L2", 2),)),
    ("temperature_missing", (core_id(ONE, "L3", 2),)),
    ("closed_primary_loop", (core_id(TWO, "L1", 1), core_id(TWO, "L1", 2))),
    ("earth_count", (core_id(TWO, "L2", 1),)),
    ("calibration_ended", (core_id(TWO, "L2", 2),)),
    ("leads_not_subtracted", (core_id(TWO, "L3", 1),)),
)


def make_faulty() -> Job:
    """The bay with ten faults."""
    title = "Two feeders with ten faults put in on purpose"
    return make(Bay("sample-faulty-bay", "KM-2026-031", title, 20260908, FAULTS))


def make_clean() -> Job:
    """The same bay as it should be."""
    return make(Bay("sample-clean-bay", "KM-2026-032", "Two feeders before first energising", 20260909))


def expected() -> dict[str, object]:
    """The list that the faulty bay is held against."""
    return {
        "job": "faulty_bay.json",
        "notices": [{"notice_id": notice_id, "cores": list(cores)} for notice_id, cores in EXPECTED],
    }
