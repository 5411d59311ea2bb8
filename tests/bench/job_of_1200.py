"""A store with a job of 1 200 cores of five taps each, half of it tested, its findings stored."""

from __future__ import annotations

import random
from pathlib import Path

from app.desk import Desk
from app.jobstore import Store
from app.record.act import Act
from app.settings import Settings
from ctcore.job import CT, METHOD_ROW, Core, Header, Instrument, Job, Position, Reading, Tap

POSITIONS, PHASES, CORES = 100, ("L1", "L2", "L3"), 4
RATIOS = (1000.0, 1500.0, 2000.0, 2500.0, 3000.0)
STORE_NAME = "store.sqlite"
_METHOD = {
    "resistance": {"leads": "four_wire", "t_winding_degc": "15", "t_winding_source": "surface_probe"},
    "ratio": {"ratio_method": "voltage"},
}
_INSTRUMENTS = tuple(
    Instrument(instrument_id=name, name_text=name, spec_reading_percent=percent, due_on="2027-01-01")
    for name, percent in (("volts", 0.2), ("ohms", 0.1))
)


def make_store(folder: Path) -> str:
    """A store in `folder` with the job in it, judged and settled; its id is returned."""
    job = big_job()
    store = Store.open(folder / STORE_NAME)
    act = Act(
        kind="job", person_id="p", person_name_text="A. Example", at_utc="2026-05-04T08:00:00.000Z",
        utc_offset_minutes=0, zone="Etc/UTC", where={"job_id": job.job_id}, from_=None, to="1200",
    )  # fmt: skip
    store.create(job, act)
    desk = Desk(store, Settings.load(folder))
    view = desk.open_job(job.job_id)
    while view.stale_core_ids:
        view = desk.judge_stale(job.job_id, seconds=10.0).view
    desk.close_job(job.job_id)
    store.close()
    return job.job_id


def big_job() -> Job:
    """The job; resistance and ratio of every tap are keyed on the cores of every second position."""
    chance = random.Random(1)
    positions = tuple(_position(place) for place in range(POSITIONS))
    readings: list[Reading] = []
    for position in positions[::2]:
        for ct in position.cts:
            for core in ct.cores:
                _key(readings, core.core_id, chance)
    return Job(
        job_id="big",
        header=Header(number_text="1200", title_text="Every bay"),
        positions=positions,
        instruments=_INSTRUMENTS,
        readings=tuple(readings),
    )


def _position(place: int) -> Position:
    return Position(
        position_id=f"p{place}",
        name_text=f"Bay {place + 1}",
        cts=tuple(
            CT(
                ct_id=f"p{place}-{phase}",
                phase_text=phase,
                serial_text=f"{70000 + 10 * place}{phase}",
                cores=tuple(_core(f"p{place}-{phase}-{number}", number) for number in range(1, CORES + 1)),
            )
            for phase in PHASES
        ),
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
        for last, ratio in enumerate(RATIOS, start=2)
    )
    return Core(core_id=core_id, number=number, class_text="PX Ek 3000 V Ie 30 mA Rct 15 ohm", taps=taps)


def _key(readings: list[Reading], core_id: str, chance: random.Random) -> None:
    def near(value: float, scatter_rel: float) -> str:
        return f"{value * (1.0 + chance.gauss(0.0, scatter_rel)):.7g}"

    for test, fields in _METHOD.items():
        for quantity_id, words in fields.items():
            _add(readings, core_id, test, METHOD_ROW, quantity_id, words, None)
    for last, turns in enumerate(RATIOS, start=2):
        row = f"S1-S{last}"
        _add(readings, core_id, "resistance", row, "r_measured_ohm", near(0.004 * turns, 0.001), "ohms")
        _add(readings, core_id, "ratio", row, "v_secondary_v", near(0.2 * turns, 0.0003), "volts")
        _add(readings, core_id, "ratio", row, "v_primary_v", near(0.2, 0.0003), "volts")


def _add(
    readings: list[Reading],
    core_id: str,
    test: str,
    row: str,
    quantity_id: str,
    words: str,
    meter: str | None,
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
            as_typed_text=words,
            value_text=words,
            person_id="p",
            at_utc=f"2026-05-04T{8 + number // 3600:02d}:{number // 60 % 60:02d}:{number % 60:02d}Z",
            utc_offset_minutes=0,
            device_id="d",
            device_seq=number,
            instrument_id=meter,
        )
    )
