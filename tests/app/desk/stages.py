"""Two computers and one job at the stages of its way, each made once and copied for a test."""

from __future__ import annotations

import dataclasses
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Clock, Seat

FIELD, OFFICE = "field", "office"
HANDED_IN, SENT_BACK, ISSUED = "handed-in.coreleaf-signed", "sent-back", "issued.zip"


@dataclass(frozen=True, slots=True)
class Stage:
    """A folder with both computers and the files between them, the job there, and what the clock said."""

    folder: Path
    job_id: str
    now: datetime

    def copied(self, folder: Path) -> Stage:
        """The same in another folder."""
        shutil.copytree(self.folder, folder, dirs_exist_ok=True)
        return dataclasses.replace(self, folder=folder)


class Stages:
    """The stages, each made from the one before when it is first asked for."""

    def __init__(self, folder: Path, keys: Path) -> None:
        self._folder = folder
        self._keys = keys
        self._made: dict[str, Stage] = {}

    def stage(self, name: str) -> Stage:
        """The stage of that name."""
        if name not in self._made:
            self._made[name] = getattr(self, f"_{name}")()
        return self._made[name]

    def _start(self) -> Stage:
        """Nothing but two people, each at a computer."""
        clock = Clock()
        for place, name_text in ((FIELD, making.TESTER), (OFFICE, making.APPROVER)):
            making.seat(self._folder / "start" / place, name_text, clock, self._keys).close()
        return Stage(self._folder / "start", "", clock.now)

    def _handed_in(self) -> Stage:
        """A complete job with one line outside, signed as tested, and the file that travels."""

        def hand_in(tester: Seat, _: str, folder: Path) -> str:
            made = making.complete_job(tester.desk, ohms="2.90")
            tester.desk.hand_in(made, PASSPHRASE, APPROVER, folder / HANDED_IN)
            return made

        return self._after("start", "handed_in", FIELD, hand_in)

    def _waiting(self) -> Stage:
        """The same job at the approver's computer."""

        def take_in(approver: Seat, job_id: str, folder: Path) -> str:
            approver.desk.take_in(folder / HANDED_IN)
            return job_id

        return self._after("handed_in", "waiting", OFFICE, take_in)

    def _sent_back(self) -> Stage:
        """The line that is outside goes back with the job; the file with the answer."""

        def send_back(approver: Seat, job_id: str, folder: Path) -> str:
            (line,) = approver.desk.exceptions(job_id)
            approver.desk.comment(job_id, line.key, "Measure on the CT's own terminals.")
            approver.desk.decide(job_id, line.key, "sent_back", "clean link 7")
            approver.desk.send_back(job_id, PASSPHRASE, "Nearly there.", folder / SENT_BACK)
            return job_id

        return self._after("waiting", "sent_back", OFFICE, send_back)

    def _issued(self) -> Stage:
        """The line is conceded, the job approved and issued; the pack."""

        def issue(approver: Seat, job_id: str, folder: Path) -> str:
            (line,) = approver.desk.exceptions(job_id)
            approver.desk.decide(job_id, line.key, "concession", "lead known", "until the next outage")
            approver.desk.approve(job_id, PASSPHRASE)
            approver.desk.issue(job_id, PASSPHRASE, folder / ISSUED)
            return job_id

        return self._after("waiting", "issued", OFFICE, issue)

    def _after(self, before: str, name: str, place: str, step: Callable[[Seat, str, Path], str]) -> Stage:
        """The stage that a step at one of the computers leads to."""
        start = self.stage(before)
        folder = start.copied(self._folder / name).folder
        clock = Clock(start.now)
        seat = making.sit_down(folder / place, clock)
        job_id = step(seat, start.job_id, folder)
        seat.close()
        return Stage(folder, job_id, clock.now)
