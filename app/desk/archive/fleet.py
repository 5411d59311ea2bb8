"""Figures of the whole office: jobs by state, faults by kind, open deviations, instruments due."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.desk.core import DeskCore
from app.desk.registers import Registers, due_instruments
from app.record.files import write_whole
from ctcore.findings import VERDICTS, Verdict

if TYPE_CHECKING:
    from app.jobstore.archive import Archive, DueInstrument, FaultCount, OpenDeviation
    from app.report.plain_tables import PlainTable
    from ctcore.job import JobState

# Practice: a calibration is asked for a month ahead, and planned a quarter ahead.
SOON_DAYS, LATER_DAYS = 30, 90
PROGRAM: Final = "Coreleaf"


@dataclass(frozen=True, slots=True, kw_only=True)
class StateCount:
    """The jobs of this store in one state, by their worst verdict."""

    state: JobState
    job_count: int
    core_count: int
    by_worst: tuple[tuple[Verdict, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """An instrument whose calibration ended, or ends within 30 or 90 days."""

    name_text: str
    serial_text: str
    due_on: str
    last_used_on: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfArchive:
    """What the archive counts, asked for in one go."""

    faults: tuple[FaultCount, ...]
    deviations: tuple[OpenDeviation, ...]
    instruments: tuple[DueInstrument, ...]


def count_archive(archive: Archive, *, today: date) -> OfArchive:
    """Ask the archive. ArchiveProblem where it does not answer."""
    until = (today + timedelta(days=LATER_DAYS)).isoformat()
    return OfArchive(
        faults=tuple(archive.fault_counts()),
        deviations=tuple(archive.open_deviations()),
        instruments=tuple(archive.instruments_due(until=until)),
    )


def due_lines(registers: Registers, found: Sequence[DueInstrument], *, today: date) -> list[DueLine]:
    """Instruments due, of the registers and of the archive; what the registers say of a serial counts."""
    until = (today + timedelta(days=LATER_DAYS)).isoformat()
    known = {_key(one.serial_text) for one in registers.instruments if one.serial_text.strip()}
    used = {_key(one.serial_text): one.last_used_on for one in found}
    made = [
        DueLine(
            name_text=one.name_text,
            serial_text=one.serial_text,
            due_on=one.due_on or "",
            last_used_on=used.get(_key(one.serial_text), ""),
            when=when_due(one.due_on or "", today),
        )
        for one in due_instruments(registers, until=until)
    ]
    made += [
        DueLine(
            name_text=one.name_text,
            serial_text=one.serial_text,
            due_on=one.due_on,
            last_used_on=one.last_used_on,
            when=when_due(one.due_on, today),
        )
        for one in found
        if _key(one.serial_text) not in known
    ]
    return sorted(made, key=lambda one: (one.due_on, one.serial_text))


def when_due(due_on: str, today: date) -> str:
    """Whether a calibration has ended, ends soon or later: `ended`, `soon`, `later`, `far`, or `unknown`.

    >>> when_due("2031-06-20", date(2031, 6, 1)), when_due("2031-05-31", date(2031, 6, 1))
    ('soon', 'ended')
    """
    try:
        left = (date.fromisoformat(due_on) - today).days
    except ValueError:
        return "unknown"
    return "ended" if left < 0 else "soon" if left <= SOON_DAYS else "later" if left <= LATER_DAYS else "far"


class FleetVerbs(DeskCore):
    """What this store counts, and tables on paper."""

    def state_counts(self) -> list[StateCount]:
        """The jobs here by state, in the order in which a job goes through them."""
        from app.desk.states import STATES

        lines = self.store.jobs()
        found = []
        for state in (row.state for row in STATES):
            those = [line for line in lines if line.state == state]
            worst = Counter(line.worst for line in those)
            if those:
                found.append(
                    StateCount(
                        state=state,
                        job_count=len(those),
                        core_count=sum(line.core_count for line in those),
                        by_worst=tuple((one, worst[one]) for one in VERDICTS if worst[one]),
                    )
                )
        return found

    def today(self) -> date:
        """The day on the wall."""
        return self._clock().date()

    def write_tables(self, path: Path, tables: Sequence[PlainTable], *, title: str, said_text: str) -> None:
        """Put tables on paper. OSError where the place cannot be written."""
        from app.report.plain_tables import print_tables

        data = print_tables(
            tables,
            title=title,
            said_text=said_text,
            paper=self.settings.get("paper"),
            program_text=PROGRAM,
            epoch_s=self._clock().timestamp(),
        )
        write_whole(path, data)


def _key(serial_text: str) -> str:
    return " ".join(serial_text.casefold().split())
