"""An office with an archive, and a laptop with one issued job that is to go there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from app.desk.archive.intake import Intake, PassOn
from app.desk.archive.sending import ArchiveLine
from app.jobstore.archive import Archive
from app.record import authority, certificates, people_keys
from app.record.people_keys import Unlocked
from app.record.trust import Trust
from tests.app.desk.making import PASSPHRASE, Clock, Seat
from tests.app.record.signed_scene import key_of


@dataclass(frozen=True, slots=True)
class Office:
    """The archive with its key, and how it is taken in."""

    place_text: str
    archive: Archive
    key: Unlocked
    clock: Clock

    def intake(self, trust: Trust, pass_on: PassOn | None = None) -> Intake:
        return Intake(self.archive, trust=trust, key=self.key, clock=self.clock, pass_on=pass_on)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    if request.param == "sqlite":
        return str(tmp_path / "archive.sqlite")
    address: str = request.getfixturevalue("server").database()
    return address


@pytest.fixture
def office(place: str, approver: Seat, clock: Clock, tmp_path: Path) -> Iterator[Office]:
    """The archive, its key enrolled by the office of the approver's computer."""
    folder, ready = tmp_path / "archive-key", iter((key_of("desk's office"), key_of("desk's archive")))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(certificates, "new_key", lambda: next(ready))
        its = authority.Authority.make(
            tmp_path / "office", name_text="Invented Archive Office", passphrase=PASSPHRASE, at=clock()
        )
        key = people_keys.make(
            folder, person_id="archive-1", name_text="Archive", passphrase=PASSPHRASE, at=clock()
        )
    pem = its.enrol(people_keys.request(key), roles=("archive",), at=clock())
    people_keys.take_certificate(folder, "archive-1", pem)
    approver.desk.trust_folder.mkdir(parents=True, exist_ok=True)
    (approver.desk.trust_folder / "archive-office.pem").write_bytes(its.certificate_pem)
    approver.desk.settings.change(archive_place_text=place)
    archive = Archive.open(place)
    yield Office(place, archive, people_keys.unlock(folder, "archive-1", PASSPHRASE), clock)
    archive.close()


def carry(seat: Seat) -> list[ArchiveLine]:
    """One round of the laptop: send, look for answers, write them down; the queue behind it."""
    lines = seat.desk.archive_queue()
    carried = seat.desk.courier().carry([seat.desk.parcel_of(line) for line in lines])
    seat.desk.note_carried(list(zip(lines, carried, strict=True)))
    return seat.desk.archive_queue()


def later(clock: Clock, **by: float) -> None:
    """Let time go by."""
    clock.now += dt.timedelta(**by)
