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
from tests.app.desk.stages import FIELD, HANDED_IN, ISSUED, OFFICE, SENT_BACK, Stage, Stages


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


@pytest.fixture(scope="session")
def stages(tmp_path_factory: pytest.TempPathFactory, keys: Path) -> Stages:
    """The stages of a job between two computers, made once."""
    return Stages(tmp_path_factory.mktemp("stages"), keys)


@pytest.fixture
def stage(request: pytest.FixtureRequest, stages: Stages, tmp_path: Path) -> Stage:
    """The latest stage that the test asks for, in its own folder."""
    names = ("sent_back", "issued", "waiting", "handed_in")
    return stages.stage(next((one for one in names if one in request.fixturenames), "start")).copied(tmp_path)


@pytest.fixture
def clock(stage: Stage) -> Clock:
    """The one clock of both computers."""
    return Clock(stage.now)


@pytest.fixture
def tester(stage: Stage, clock: Clock) -> Iterator[Seat]:
    """The computer beside the switchgear."""
    made = making.sit_down(stage.folder / FIELD, clock)
    yield made
    made.close()


@pytest.fixture
def approver(stage: Stage, clock: Clock) -> Iterator[Seat]:
    """The computer in the office."""
    made = making.sit_down(stage.folder / OFFICE, clock)
    yield made
    made.close()


@pytest.fixture
def handed_in(stage: Stage) -> tuple[str, Path]:
    """A complete job with one line outside, signed as tested, and the file that travels."""
    return stage.job_id, stage.folder / HANDED_IN


@pytest.fixture
def waiting(stage: Stage) -> str:
    """The same job at the approver's computer."""
    return stage.job_id


@pytest.fixture
def sent_back(stage: Stage) -> Path:
    """What goes back to the tester, with one line to be measured again."""
    return stage.folder / SENT_BACK


@pytest.fixture
def issued(stage: Stage) -> Path:
    """The pack of the job, approved with one concession and issued."""
    return stage.folder / ISSUED
