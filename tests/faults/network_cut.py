"""The network to a real archive is cut while the window sends: what was issued arrives once.

Refused, silent one way or both, reset, one byte a second, the server killed, a wrong certificate; each at a
random byte. After every fault whatever is called archived has to be in the archive; at the end everything is
there, once. The thread of the window ticks all the while and is never held for 100 ms, the time left out
in which a thread of this process stood in line for a processor. The control is a courier that calls archived
what has no receipt. Wants PostgreSQL's server.
"""

from __future__ import annotations

import contextlib
import dataclasses
import datetime as dt
import os
import random
import shutil
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from tests import postgresql
from tests.faults.cut_network import KINDS, Network

SHORT_COUNT: Final = 20
LONG_COUNT: Final = 300
MOST_HELD_MS: Final = 100.0
_FAULTS_A_RECORD: Final = 5
_SEED: Final = 20_310_504
_ALL: Final = (*KINDS, "server_killed", "wrong_certificate")
_MOST_BYTES: Final = 120_000
_NOW: Final = dt.datetime(2031, 6, 1, 9, 0, tzinfo=dt.UTC)


def run(long: bool = False) -> dict[str, Any]:
    """Faults, those after which something was wrong, whether the control was seen, and the longest tick."""
    if postgresql.programs() is None:
        return {
            "name": "network_cut",
            "cases": 0,
            "failed": 1,
            "control_caught": None,
            "failures": ["no server"],
        }
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as folder:
        scene = _Scene(Path(folder))
        try:
            return _run(scene, LONG_COUNT if long else SHORT_COUNT)
        finally:
            scene.close()


def _run(scene: _Scene, count: int) -> dict[str, Any]:
    chance = random.Random(_SEED)
    failures: list[str] = []
    for number in range(count):
        if number % _FAULTS_A_RECORD == 0:
            scene.issue(f"{1000 + number}")
        kind = _ALL[number % len(_ALL)]
        if chance.random() < 0.4:
            scene.take_in()
        scene.strike(kind, chance.choice((0, 400, chance.randrange(_MOST_BYTES))), chance.random() * 0.2)
        failures += [f"fault {number}, {kind}: {told}" for told in scene.false_claims()]
    scene.settle()
    failures += scene.not_once()
    if scene.longest_ms > MOST_HELD_MS:
        failures.append(f"the window's thread was held for {scene.longest_ms:.0f} ms")
    caught = _control(scene)
    return {
        "name": "network_cut",
        "cases": count,
        "failed": len(failures),
        "failures": failures[:10],
        "control_caught": caught,
        "longest_tick_ms": round(scene.longest_ms, 1),
        "with_waits_for_a_processor_ms": round(scene.longest_away_ms, 1),
        "by_outcome": dict(scene.outcomes),
    }


def _control(scene: _Scene) -> bool:
    """Whether a courier is noticed that believes without a receipt."""
    from app.desk.archive.courier import Carried, Courier

    def believe(_self: Any, parcel: Any, *_more: Any) -> Carried:
        return Carried(digest_hex=parcel.digest_hex, state="archived", sentence_text="Archived.")

    honest = Courier._judged
    Courier._judged = believe  # type: ignore[method-assign]
    try:
        scene.issue("control")
        scene.round()
        return bool(scene.false_claims())
    finally:
        Courier._judged = honest  # type: ignore[method-assign]


class _Scene:
    """A laptop with the window's own sender, an office, a server, and the network between them."""

    def __init__(self, folder: Path) -> None:
        from PySide6.QtCore import QTimer
        from PySide6.QtWidgets import QApplication

        from app.jobstore.archive import Archive, engine

        engine.CONNECT_S = 2  # type: ignore[misc]
        self.app = QApplication.instance() or QApplication([])
        self.outcomes: Counter[str] = Counter()
        self.longest_ms = self.longest_away_ms = 0.0
        self.issued: list[str] = []
        self._folder = folder
        self._server = postgresql.Server()
        self._direct = self._server.database()
        self._certified()
        self.archive = Archive.open(self._direct)
        self.network = Network(self._server.port)
        self.place = self._direct.replace(f":{self._server.port}/", f":{self.network.port}/")
        self._sit_down()
        self._processors = _Processors()
        self._begin_tick()
        self._ticker = QTimer(interval=5)
        self._ticker.timeout.connect(self._tick)
        self._ticker.start()

    def issue(self, number_text: str) -> None:
        """One more record that was issued on the laptop."""
        from app.desk.chains import PACK_TYPE
        from app.record.canonical import digest
        from tests.app.record.signed_scene import revision_of

        its = revision_of(number_text)
        packed, desk = its.packed, self._desk()
        job = dataclasses.replace(its.job, readings=())
        store = desk.store
        store.create(job, desk._act("take_in", job, {}, None, None))
        desk._attach(job.job_id, "issued.zip", packed, PACK_TYPE)
        store.append(
            job.job_id,
            desk._act("issue", job, {"revision": 1}, None, {"pack": digest(packed)}),
            state="issued",
        )
        self.issued.append(digest(its.record))
        self._begin_tick()
        self.sender.look()
        self._wait(lambda: len(self.sender.view.lines) == len(self.issued))
        self._begin_tick()

    def take_in(self) -> None:
        """The office takes in what came."""
        from app.desk.archive.intake import Intake
        from tests.app.record.signed_scene import person, trust

        key = person("Archive", "archive-1", ("archive",))
        Intake(self.archive, trust=trust(), key=key, clock=lambda: _NOW).run()
        self._begin_tick()

    def strike(self, kind: str, after_bytes: int, after_s: float) -> None:
        """Send with a fault under way, then mend it."""
        if kind == "server_killed":
            killer = threading.Timer(after_s, self._server.kill)
            killer.start()
            self.round()
            killer.join()
            self.archive.close()
            self._server.stop()
            self._server.start()
        elif kind == "wrong_certificate":
            self._settings.change(
                archive_place_text=f"{self.place}?sslmode=verify-full&sslrootcert={self._other_ca}"
            )
            self.round()
            self._settings.change(archive_place_text=self.place)
        else:
            self.network.fail(kind, after_bytes)  # type: ignore[arg-type]
            self.round()
        self.network.heal()
        self._begin_tick()

    def round(self) -> None:
        """One round of the window's sender, with the window's thread going on."""
        self._begin_tick()
        self.sender.send()
        self._wait(lambda: not self.sender.busy)
        told = self.sender.view.trouble_text
        self.outcomes["refused in words" if told else "went through"] += 1
        if told and "kept" not in told:
            self.outcomes[f"unclear: {told}"] += 1

    def settle(self) -> None:
        """Whole network again: send, take in, fetch the receipts."""
        for _ in range(2 + len(self.issued) // 10):
            self.round()
            self.take_in()
            self.round()

    def false_claims(self) -> list[str]:
        """What the laptop calls archived and the archive has not filed."""
        filed = set(self.archive.leaves(size=0, limit=100_000))
        lines = self._desk().archive_queue(all_of_them=True)
        parcels = [(line, self._desk().parcel_of(line)) for line in lines if line.archived]
        self._begin_tick()
        return [f"{line.number_text} is called archived and is not there" for line, one in parcels
                if one.record_digest not in filed]  # fmt: skip

    def not_once(self) -> list[str]:
        """Records that did not arrive, that arrived twice, or that still wait."""
        filed = Counter(self.archive.leaves(size=0, limit=100_000))
        told = [f"{one[:8]} is missing" for one in self.issued if not filed[one]]
        told += [f"{one[:8]} is there {count} times" for one, count in filed.items() if count > 1]
        waiting = self._desk().archive_queue()
        return told + [f"{line.number_text} still waits: {line.state_text}" for line in waiting]

    def close(self) -> None:
        """End everything."""
        self._ticker.stop()
        self.sender.close()
        self.session.close()
        self.network.close()
        self.archive.close()
        self._server.close()

    def _desk(self) -> Any:
        assert self.session.desk is not None
        return self.session.desk

    def _sit_down(self) -> None:
        from app.desk.archive.courier import Courier
        from app.record import certificates
        from app.settings import Settings
        from app.ui.shell.sender import Sender
        from app.ui.shell.session import Session
        from tests.app.record.signed_scene import office

        Courier.patience_s = 0.5
        home = self._folder / "home"
        self._settings = Settings.load(home)
        self._settings.change(
            person_name_text="T. Adder", organisation_text="X", archive_place_text=self.place
        )
        (home / "trust").mkdir(parents=True)
        (home / "trust" / "office.pem").write_bytes(certificates.pem_of(office().certificate.der))
        self.session = Session(self._settings)
        self.session.broke.connect(
            lambda problem: self.outcomes.update([f"fault of the program: {problem!r}"])
        )
        self.sender = Sender(self.session)
        self.session.open_store(home)
        self._wait(lambda: self.session.desk is not None)
        self._desk()._clock = lambda: _NOW

    def _certified(self) -> None:
        """Give the server a certificate, and keep another authority that did not make it."""
        from tests.faults.certificate import authority_and_server

        self._other_ca = self._folder / "other-ca.pem"
        authority, key, certificate = authority_and_server()
        other, _, _ = authority_and_server()
        self._other_ca.write_bytes(other)
        os.chmod(self._folder, 0o755)
        data = self._server.folder / "data"
        for name, content in (("server.key", key), ("server.crt", certificate + authority)):
            (data / name).write_bytes(content)
            (data / name).chmod(0o600)
            if os.geteuid() == 0:
                shutil.chown(data / name, "postgres", "postgres")
        self._server.sql("ALTER SYSTEM SET ssl = on")
        self._server.sql("SELECT pg_reload_conf()")

    def _begin_tick(self) -> None:
        """What this thread did for the scene until now is not the window's."""
        self._last = time.monotonic()
        self._processors.longest_wait_s()

    def _tick(self) -> None:
        now = time.monotonic()
        away_ms = (now - self._last) * 1000.0
        self.longest_away_ms = max(self.longest_away_ms, away_ms)
        held_ms = away_ms - self._processors.longest_wait_s() * 1000.0
        self.longest_ms = max(self.longest_ms, held_ms)
        self._last = now

    def _wait(self, until: Callable[[], bool], most_s: float = 120.0) -> None:
        from PySide6.QtCore import QEventLoop

        end = time.monotonic() + most_s
        while not until():
            assert time.monotonic() < end, "nothing came back"
            self.app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 5)
            time.sleep(0.001)


class _Processors:
    """How long threads of this process stood in line for a processor: then the machine was busy, not they.

    Where the system does not tell, everything counts as held.
    """

    _TASKS = Path("/proc/self/task")

    def __init__(self) -> None:
        self._before = self._waited_s()

    def longest_wait_s(self) -> float:
        """The longest that one thread stood in line since this was asked last."""
        now, before = self._waited_s(), self._before
        self._before = now
        return max((now[one] - before.get(one, 0.0) for one in now), default=0.0)

    def _waited_s(self) -> dict[str, float]:
        found = {}
        for task in self._TASKS.iterdir() if self._TASKS.is_dir() else ():
            # A thread may end while it is looked at.
            with contextlib.suppress(OSError, IndexError):
                found[task.name] = int((task / "schedstat").read_text("ascii").split()[1]) * 1e-9
        return found
