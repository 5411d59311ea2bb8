"""A desk over a store of its own, with one invented job of two cores in three phases."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.desk import Address, Change, Desk
from app.jobstore import Store
from app.settings import Settings
from ctcore.job import Header


class Clock:
    """Stands still until it is told to go on; one second per look."""

    def __init__(self) -> None:
        self.now = datetime(2031, 5, 4, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path / "jobs.coreleaf")
    yield opened
    opened.close()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    loaded = Settings.load(tmp_path / "settings")
    loaded.change(person_name_text="T. Adder", organisation_text="Rill and Bank Testing", decimal_mark="ask")
    return loaded


@pytest.fixture
def desk(store: Store, settings: Settings) -> Desk:
    return Desk(store, settings, clock=Clock())


@pytest.fixture
def job_id(desk: Desk) -> str:
    made = desk.new_job(Header(number_text="77"))
    job_id = made.view.job.job_id
    desk.add_position(job_id, "Line side", core_classes=("5P20 15 VA", "0.5S FS5 10 VA"))
    return job_id


@pytest.fixture
def core_id(desk: Desk, job_id: str) -> str:
    return desk.view(job_id).job.positions[0].cts[0].cores[0].core_id


@pytest.fixture
def key_point(desk: Desk, job_id: str, core_id: str) -> Callable[[str, str, str], Change]:
    """Key one point of the excitation curve of the first core: row, volts, milliamps."""

    def key(row: str, volts: str, milliamps: str) -> Change:
        return desk.key_many(
            job_id,
            [
                (Address(core_id, "excitation", 1, row, "v_excitation_v"), volts),
                (Address(core_id, "excitation", 1, row, "i_excitation_a"), milliamps),
            ],
        )

    return key
