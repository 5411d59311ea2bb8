"""No step on the way to the archive is waited for without an end."""

from __future__ import annotations

import datetime as dt
import threading
import time
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from app.desk.archive.courier import Courier, Parcel
from app.jobstore.archive import Archive, ArchiveProblem
from app.record.trust import NOBODY
from tests.faults.cut_network import Network
from tests.postgresql import Server

_FAR_TOO_LONG_S = 30.0


@pytest.fixture
def courier(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Courier:
    monkeypatch.setattr(Courier, "patience_s", 0.01)
    return Courier(
        "postgresql://desk@office/archive",
        trust=NOBODY,
        seen=tmp_path / "seen.json",
        device_text="laptop",
        clock=lambda: dt.datetime(2031, 6, 1, tzinfo=dt.UTC),
    )


def test_a_line_made_after_the_others_were_cut_is_cut_as_well(courier: Courier) -> None:
    cuts = threading.Semaphore(0)
    archive: Any = SimpleNamespace(cut=cuts.release)
    with courier._within(archive):
        assert [cuts.acquire(timeout=10), cuts.acquire(timeout=10)] == [True, True]


def test_what_is_done_in_time_is_not_cut(courier: Courier, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Courier, "patience_s", 60.0)
    cuts = threading.Semaphore(0)
    archive: Any = SimpleNamespace(cut=cuts.release)
    with courier._within(archive):
        pass
    assert not any(one.name == "patience" and one.join(10) for one in threading.enumerate())
    assert not cuts.acquire(blocking=False)


@pytest.mark.parametrize("after_bytes", [200, 400, 600])
def test_a_new_line_that_goes_dead_at_its_first_questions_is_cut(
    server: Server, courier: Courier, monkeypatch: pytest.MonkeyPatch, after_bytes: int
) -> None:
    monkeypatch.setattr(Courier, "patience_s", 0.5)
    place = server.database()
    Archive.open(place).close()
    network = Network(server.port)
    courier._place_text = place.replace(f":{server.port}/", f":{network.port}/")
    network.fail("silent_out", after_bytes)
    mended = threading.Timer(_FAR_TOO_LONG_S, network.heal)
    mended.start()
    started = time.monotonic()
    with pytest.raises(ArchiveProblem, match="does not answer"):
        courier.carry([Parcel(data=b"bytes", record_digest=None)])
    lasted_s = time.monotonic() - started
    mended.cancel()
    network.close()
    assert lasted_s < _FAR_TOO_LONG_S
