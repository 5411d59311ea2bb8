"""Ninety cores judged whole: a curve of thirty readings, ratio and resistance on five taps each."""

from __future__ import annotations

import random
import statistics
import time
from typing import Any

from ctcore.job import CT, METHOD_ROW, Core, Header, Instrument, Job, Position, Reading, Tap
from ctcore.judge import judge

NAMES = ("judge_job_90",)

_POSITIONS, _PHASES, _CORES, _POINTS = 5, ("L1", "L2", "L3"), 6, 30
_RATIOS = (1000.0, 1500.0, 2000.0, 2500.0, 3000.0)
_METHOD = {
    "resistance": {"leads": "four_wire", "t_winding_degc": "15", "t_winding_source": "surface_probe"},
    "ratio": {"ratio_method": "voltage"},
    "excitation": {
        "tap_id": "S1-S6",
        "frequency_hz": "50",
        "voltage_response": "mean",
        "current_response": "true_rms",
        "demagnetised": "yes_no_dc_since",
        "primary_state": "open",
        "other_cores": "shorted",
        "links": "lifted",
    },
}
_INSTRUMENTS = tuple(
    Instrument(instrument_id=name, name_text=name, spec_reading_percent=percent, due_on="2027-01-01")
    for name, percent in (("volts", 0.2), ("amperes", 0.5), ("ohms", 0.1))
)


def job_of_90(seed: int) -> Job:
    """A job of 90 cores, every reading with scatter of its own, so that nothing is known from before."""
    readings: list[Reading] = []
    chance = random.Random(seed)
    positions = tuple(
        Position(
            position_id=f"p{place}",
            name_text=f"Bay {place}",
            cts=tuple(
                CT(
                    ct_id=f"p{place}-{phase}",
                    phase_text=phase,
                    cores=tuple(
                        _core(f"p{place}-{phase}-{number}", number) for number in range(1, _CORES + 1)
                    ),
                )
                for phase in _PHASES
            ),
        )
        for place in range(_POSITIONS)
    )
    for position in positions:
        for ct in position.cts:
            for core in ct.cores:
                _key(readings, core.core_id, chance)
    return Job(
        job_id="bench",
        header=Header(number_text="1"),
        positions=positions,
        instruments=_INSTRUMENTS,
        readings=tuple(readings),
    )


def _core(core_id: str, number: int) -> Core:
    taps = tuple(
        Tap(
            tap_id=f"S1-S{last}",
            terminals_text=f"S1-S{last}",
            i_primary_rated_a=ratio,
            i_secondary_rated_a=1.0,
            turns_secondary_count=ratio,
        )
        for last, ratio in enumerate(_RATIOS, start=2)
    )
    return Core(core_id=core_id, number=number, class_text="PX Ek 3000 V Ie 30 mA Rct 15 ohm", taps=taps)


def _key(readings: list[Reading], core_id: str, chance: random.Random) -> None:
    def near(value: float, scatter_rel: float) -> str:
        return f"{value * (1.0 + chance.gauss(0.0, scatter_rel)):.7g}"

    for test, fields in _METHOD.items():
        for quantity_id, text in fields.items():
            _add(readings, core_id, test, METHOD_ROW, quantity_id, text, None)
    for last, turns in enumerate(_RATIOS, start=2):
        row = f"S1-S{last}"
        _add(readings, core_id, "resistance", row, "r_measured_ohm", near(0.004 * turns, 0.001), "ohms")
        _add(readings, core_id, "ratio", row, "v_secondary_v", near(0.2 * turns, 0.0003), "volts")
        _add(readings, core_id, "ratio", row, "v_primary_v", near(0.2, 0.0003), "volts")
    for point in range(_POINTS):
        level = 0.03 * 1.145**point
        current = 0.02 * (0.95 * level**0.8 + 0.05 * level**18)
        row = str(point + 1)
        _add(readings, core_id, "excitation", row, "v_excitation_v", near(3100.0 * level, 0.001), "volts")
        _add(readings, core_id, "excitation", row, "i_excitation_a", near(current, 0.003), "amperes")


def _add(
    readings: list[Reading], core_id: str, test: str, row: str, quantity_id: str, text: str, meter: str | None
) -> None:
    number = len(readings)
    readings.append(
        Reading(
            reading_id=f"r{number}",
            core_id=core_id,
            procedure_id=test,
            take=1,
            row=row,
            quantity_id=quantity_id,
            as_typed_text=text,
            value_text=text,
            person_id="p",
            at_utc=f"2026-05-04T{8 + number // 3600:02d}:{number // 60 % 60:02d}:{number % 60:02d}Z",
            utc_offset_minutes=0,
            device_id="d",
            device_seq=number,
            instrument_id=meter,
        )
    )


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median seconds to judge the whole job, readings to findings."""
    runs = 3 if short else 7
    taken = []
    for seed in range(runs + 1):
        job = job_of_90(seed)
        started = time.perf_counter()
        findings = judge(job)
        taken.append(time.perf_counter() - started)
        assert len({finding.core for finding in findings}) == _POSITIONS * len(_PHASES) * _CORES
    value = statistics.median(taken[1:])
    return [{"name": NAMES[0], "value": value, "unit": "s", "reference": None, "ratio": None, "runs": runs}]
