"""A desk over a store of its own, with one invented job of two cores in three phases."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from app.desk import Address, Change, Desk
from app.jobstore import Store
from app.record import envelope
from app.settings import Settings
from ctcore.job import Header
from tests.app.desk import making
from tests.app.desk.making import Clock, Seat


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


@pytest.fixture(autouse=True)
def cheap_envelopes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Envelopes that cost a thief nothing: what they cost in earnest is measured where they are made."""
    monkeypatch.setattr(envelope, "MEMORY_KIB", 64)


@pytest.fixture(scope="session")
def keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A key for the tester and one for the approver, each believed by both."""
    folder = tmp_path_factory.mktemp("people")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(envelope, "MEMORY_KIB", 64)
        for name_text in (making.TESTER, making.APPROVER):
            made = making.seat(folder / name_text, name_text, Clock())
            made.desk.make_key(making.PASSPHRASE)
            made.close()
            for part in ("keys", "trust"):
                shutil.copytree(
                    folder / name_text / "settings" / part, folder / "all" / part, dirs_exist_ok=True
                )
    return folder / "all"


@pytest.fixture
def clock() -> Clock:
    """The one clock of both computers."""
    return Clock()


@pytest.fixture
def tester(tmp_path: Path, keys: Path, clock: Clock) -> Iterator[Seat]:
    """The computer beside the switchgear."""
    made = making.seat(tmp_path / "field", making.TESTER, clock, keys)
    yield made
    made.close()


@pytest.fixture
def approver(tmp_path: Path, keys: Path, clock: Clock) -> Iterator[Seat]:
    """The computer in the office."""
    made = making.seat(tmp_path / "office", making.APPROVER, clock, keys)
    yield made
    made.close()


@pytest.fixture
def handed_in(tester: Seat, tmp_path: Path) -> tuple[str, Path]:
    """A complete job with one line outside, signed as tested, and the file that travels."""
    job_id = making.complete_job(tester.desk, ohms="2.90")
    path = tmp_path / "handed-in.coreleaf-signed"
    tester.desk.hand_in(job_id, making.PASSPHRASE, making.APPROVER, path)
    return job_id, path


@pytest.fixture
def waiting(handed_in: tuple[str, Path], approver: Seat) -> str:
    """The same job at the approver's computer."""
    job_id, path = handed_in
    approver.desk.take_in(path)
    return job_id
