"""Two people at two computers, each with a store and a key, and one small job that is complete."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from app.desk import Address, Desk
from app.jobstore import Store
from app.settings import Settings
from ctcore.job import METHOD_ROW, Header

PASSPHRASE = "four quiet words here"
MORNING = datetime(2031, 5, 4, 8, 0, tzinfo=UTC)
STORE = "jobs.coreleaf"
TESTER, APPROVER = "T. Adder", "M. Oskarrin"


class Clock:
    """Goes on by one second per look."""

    def __init__(self, now: datetime = MORNING) -> None:
        self.now = now

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@dataclass
class Seat:
    """A computer with who sits at it."""

    desk: Desk
    store: Store
    folder: Path

    def close(self) -> None:
        """Let go of the store."""
        self.store.close()


def seat(folder: Path, name_text: str, clock: Callable[[], datetime], keys: Path | None = None) -> Seat:
    """A new store for a person; with the key and the trust kept in `keys` where it is given."""
    settings = Settings.load(folder / "settings")
    settings.change(
        person_id=name_text.lower().replace(". ", "-"),
        person_name_text=name_text,
        organisation_text="Rill and Bank Testing",
    )
    if keys is not None:
        shutil.copytree(keys / "keys", folder / "settings" / "keys")
        shutil.copytree(keys / "trust", folder / "settings" / "trust")
    return sit_down(folder, clock)


def sit_down(folder: Path, clock: Callable[[], datetime]) -> Seat:
    """The computer whose store and settings lie in a folder."""
    store = Store.open(folder / STORE)
    return Seat(Desk(store, Settings.load(folder / "settings"), clock=clock), store, folder)


def complete_job(desk: Desk, *, ohms: str = "2.10") -> str:
    """A job of one core with a resistance test, ready to be handed in; 3.00 ohm is what the plate allows."""
    job_id = desk.new_job(Header(number_text="77")).view.job.job_id
    desk.add_position(job_id, "Line side", phases=("L1",), core_classes=("PX Ek 200 V Ie 30 mA Rct 3 ohm",))
    core = desk.view(job_id).job.positions[0].cts[0].cores[0]
    tap_id = core.taps[0].tap_id

    def cell(row: str, quantity_id: str) -> Address:
        return Address(core.core_id, "resistance", 1, row, quantity_id)

    plan(desk, job_id)
    desk.key_many(
        job_id,
        [
            (cell(METHOD_ROW, "leads"), "four-wire"),
            (cell(METHOD_ROW, "t_winding_degc"), "20"),
            (cell(METHOD_ROW, "t_winding_source"), "surface probe"),
            (cell(tap_id, "i_test_a"), "1"),
            (cell(tap_id, "r_measured_ohm"), ohms),
        ],
    )
    return job_id


def plan(desk: Desk, job_id: str) -> None:
    """Plan the resistance test alone."""
    import dataclasses

    ct = desk.view(job_id).job.positions[0].cts[0]
    cores = tuple(dataclasses.replace(core, procedures=("resistance",)) for core in ct.cores)
    desk.set_ct(job_id, dataclasses.replace(ct, cores=cores, plate_confirmed=True))


def ohms_cell(desk: Desk, job_id: str, take: int = 1) -> Address:
    """The field of the measured resistance."""
    core = desk.view(job_id).job.positions[0].cts[0].cores[0]
    return Address(core.core_id, "resistance", take, core.taps[0].tap_id, "r_measured_ohm")


def decide_all(seat: Seat, job_id: str, decision: str, reason_text: str, valid_text: str = "a year") -> None:
    """Decide every line that waits in the same way."""
    keys = [line.key for line in seat.desk.exceptions(job_id)]
    seat.desk.decide(job_id, keys, decision, reason_text, valid_text)  # type: ignore[arg-type]
