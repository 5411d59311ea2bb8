"""Judging one winding from nothing, and judging again after one changed reading, as the desk does it.

A winding has ten taps with resistance and ratio, and thirty readings of excitation with stated instruments.
Judging again goes through the desk with every test of a transformer of the demonstration bay in turn, and the
figure is that of the slowest test; what is saved on disk has a figure of its own.
"""

from __future__ import annotations

import dataclasses
import statistics
import tempfile
import time
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np

from app.desk import Desk
from app.jobstore import Store
from app.settings import Settings
from ctcore import taps
from ctcore.job import CT, METHOD_ROW, Core, Header, Instrument, Job, Position, Reading, Tap, places
from ctcore.judge import derived, judge_core
from ctcore.standards import multi_ratio
from ctcore.takes import takes_of
from samples import FIRST

NAMES = ("judge_winding", "rejudge_one_reading")

_WARM_UP = 5
_POINTS = 30
_METHODS = {
    "resistance": {"leads": "four_wire", "t_winding_degc": "20.0", "t_winding_source": "surface_probe"},
    "ratio": {"ratio_method": "voltage"},
    "excitation": {
        "tap_id": "X1-X5", "frequency_hz": "60", "voltage_response": "mean", "current_response": "true_rms",
        "demagnetised": "yes_no_dc_since", "primary_state": "open", "other_cores": "none", "links": "lifted",
    },
}  # fmt: skip


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds of both; no yardstick outside is known."""
    runs = 40 if short else 200
    values = {
        "judge_winding": statistics.median(_windings(runs)),
        "rejudge_one_reading": max(statistics.median(taken) for taken in rejudged(runs).values()),
    }
    return [
        {"name": name, "value": values[name], "unit": "ms", "reference": None, "ratio": None, "runs": runs}
        for name in NAMES
    ]


def _windings(runs: int) -> list[float]:
    """Every run judges a winding with noise of its own, so that nothing is remembered."""
    rng = np.random.default_rng(11)
    taken = []
    for number in range(-_WARM_UP, runs):
        job = winding(rng)
        place = places(job)[0]
        started = time.perf_counter()
        takes = takes_of(job.readings)
        judge_core(job, place, takes)
        derived(job, place, takes)
        if number >= 0:
            taken.append((time.perf_counter() - started) * 1e3)
    return taken


def winding(rng: np.random.Generator) -> Job:
    """One multi-ratio winding of class C400 with ten taps, tested whole."""
    pairs = taps.pairs_from_sections(multi_ratio("1200:5").section_turns_count)
    own = tuple(
        Tap(
            tap_id=pair.name,
            terminals_text=pair.name,
            i_primary_rated_a=pair.i_primary_rated_a,
            i_secondary_rated_a=5.0,
            turns_secondary_count=pair.turns_count,
        )
        for pair in pairs
    )
    core = Core(core_id="c1", number=1, class_text="C400", taps=own)
    position = Position(
        position_id="b1", name_text="Bay", cts=(CT(ct_id="t1", phase_text="L1", cores=(core,)),)
    )
    fields: list[tuple[str, str, str, str]] = [
        (name, METHOD_ROW, quantity, text)
        for name, method in _METHODS.items()
        for quantity, text in method.items()
    ]
    for pair in pairs:
        turns = pair.turns_count
        fields.append(("resistance", pair.name, "r_measured_ohm", f"{turns * 2e-3 * _about(rng):.5f}"))
        fields.append(("ratio", pair.name, "v_secondary_v", f"{turns / 4.0:.4f}"))
        fields.append(("ratio", pair.name, "v_primary_v", f"{0.25 * _about(rng, 1e-4):.7f}"))
        fields.append(("ratio", pair.name, "i_excitation_a", "0.004"))
        fields.append(("ratio", pair.name, "polarity_read", "agrees"))
    for number, volts in enumerate(np.linspace(40.0, 520.0, _POINTS), start=1):
        amperes = 0.05 * (volts / 400.0) ** 0.6 + 0.01 * (volts / 400.0) ** 18
        fields.append(("excitation", str(number), "v_excitation_v", f"{volts * _about(rng, 1e-3):.3f}"))
        fields.append(("excitation", str(number), "i_excitation_a", f"{amperes * _about(rng, 2e-3):.6f}"))
    readings = tuple(_reading(number, *entry) for number, entry in enumerate(fields))
    meter = Instrument(instrument_id="m1", name_text="Meter", spec_reading_percent=0.3)
    return Job(
        job_id="j1",
        header=Header(number_text="1"),
        frequency_rated_hz=60.0,
        positions=(position,),
        instruments=(meter,),
        readings=readings,
    )


def _about(rng: np.random.Generator, share: float = 1e-3) -> float:
    return float(1.0 + share * rng.standard_normal())


def _reading(number: int, procedure_id: str, row: str, quantity_id: str, text: str) -> Reading:
    return Reading(
        reading_id=f"r{number}",
        core_id="c1",
        procedure_id=procedure_id,
        take=1,
        row=row,
        quantity_id=quantity_id,
        as_typed_text=text,
        value_text=text,
        person_id="p1",
        at_utc="2031-05-04T08:42:07Z",
        utc_offset_minutes=0,
        device_id="d1",
        device_seq=number,
        instrument_id="m1",
    )


def rejudged(runs: int) -> dict[str, list[float]]:
    """Milliseconds from a changed reading to the desk's answer, saving left out, by core and test."""
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(Path(folder) / "store.coreleaf")
        desk = Desk(store, Settings.load(Path(folder) / "settings"))
        try:
            with resources.as_file(FIRST.file) as path:
                job_id = desk.import_job(path).view.job.job_id
            return {
                f"{core_id} {procedure_id}": _again(desk, job_id, (core_id, procedure_id), runs)
                for core_id, procedure_id in _tests(desk.view(job_id).job)
            }
        finally:
            store.close()


def _tests(job: Job) -> list[tuple[str, str]]:
    """Every test of every core of the transformer in the middle."""
    cores = {core.core_id for core in job.positions[0].cts[1].cores}
    return list(
        dict.fromkeys((entry.core_id, entry.procedure_id) for entry in job.readings if entry.core_id in cores)
    )


def _again(desk: Desk, job_id: str, key: tuple[str, str], runs: int) -> list[float]:
    its = desk._of(job_id)
    last = [
        entry
        for entry in its.job.readings
        if (entry.core_id, entry.procedure_id) == key and entry.row != METHOD_ROW and _is_number(entry)
    ][-1]
    taken = []
    for number in range(-_WARM_UP, runs):
        value = float(last.value_text or 0.0) * (1.0 + 1e-5 * (number + 10))
        last = dataclasses.replace(
            last, reading_id=f"again {number}", supersedes_id=last.reading_id, value_text=repr(value),
            device_seq=last.device_seq + 1,
        )  # fmt: skip
        started = time.perf_counter()
        its.take_in(its.job, (last,))
        desk._rejudge(its, {key})
        if number >= 0:
            taken.append((time.perf_counter() - started) * 1e3)
    return taken


def _is_number(entry: Reading) -> bool:
    try:
        float(entry.value_text or "")
    except ValueError:
        return False
    return True
