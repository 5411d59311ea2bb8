"""Figures over everything that is filed: faults by kind, open deviations, instruments whose day comes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, and_, case, func, select

from app.jobstore.archive.reach import Reach
from app.jobstore.archive.tables import core, deviation, filed, finding, instrument

MOST_LINES: Final = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultCount:
    """How often a rule was not met: on how many cores, and in how many records."""

    rule: str
    outside_count: int
    refer_count: int
    other_count: int
    core_count: int
    record_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenDeviation:
    """A deviation that nobody closed, with the record it stands in."""

    record_digest: str
    number_text: str
    site_text: str
    tested_on: str
    found_text: str
    owner_text: str
    due_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DueInstrument:
    """An instrument as the newest record names it; `due_on` is the last day of its calibration."""

    name_text: str
    serial_text: str
    due_on: str
    record_count: int
    last_used_on: str


class Figures(Reach):
    """The part of an archive that counts."""

    def fault_counts(self) -> list[FaultCount]:
        """How often each rule was not met in the records that count, the most frequent first."""
        return self._ask(_fault_counts)

    def open_deviations(self, *, limit: int = MOST_LINES) -> list[OpenDeviation]:
        """The open deviations of the records that count, those due first in front."""
        return self._ask(lambda connection: _open_deviations(connection, limit))

    def instruments_due(self, *, until: str) -> list[DueInstrument]:
        """Instruments in use whose calibration ended or ends by that day, the earliest first.

        One that has a later day in another record was calibrated since, and is judged by that day.
        """
        return self._ask(lambda connection: _instruments_due(connection, until))


def _fault_counts(connection: Connection) -> list[FaultCount]:
    def of(verdict: str) -> Any:
        return func.sum(case((finding.c.verdict == verdict, 1), else_=0))

    outside, refer = of("outside"), of("refer")
    every = func.count()
    asked = (
        select(
            finding.c.rule,
            outside.label("outside_count"),
            refer.label("refer_count"),
            (every - outside - refer).label("other_count"),
            func.count(func.distinct(finding.c.core_no)).label("core_count"),
            func.count(func.distinct(core.c.leaf_no)).label("record_count"),
        )
        .join(core, core.c.core_no == finding.c.core_no)
        .join(filed, filed.c.leaf_no == core.c.leaf_no)
        .where(filed.c.standing == "current")
        .group_by(finding.c.rule)
        .order_by(outside.desc(), every.desc(), finding.c.rule)
    )
    return [
        FaultCount(**{name: getattr(row, name) for name in FaultCount.__dataclass_fields__})
        for row in connection.execute(asked)
    ]


def _open_deviations(connection: Connection, limit: int) -> list[OpenDeviation]:
    undated = case((deviation.c.due_on == "", 1), else_=0)
    asked = (
        select(
            filed.c.record_digest,
            filed.c.number_text,
            filed.c.site_text,
            filed.c.tested_on,
            deviation.c.found_text,
            deviation.c.owner_text,
            deviation.c.due_on,
        )
        .join(filed, filed.c.leaf_no == deviation.c.leaf_no)
        .where(and_(deviation.c.is_open == 1, filed.c.standing == "current"))
        .order_by(undated, deviation.c.due_on, deviation.c.owner_text, filed.c.leaf_no)
        .limit(limit)
    )
    return [OpenDeviation(**row._mapping) for row in connection.execute(asked)]


def _instruments_due(connection: Connection, until: str) -> list[DueInstrument]:
    due = func.max(instrument.c.due_on)
    asked = (
        select(
            func.max(instrument.c.name_text).label("name_text"),
            func.max(instrument.c.serial_text).label("serial_text"),
            due.label("due_on"),
            func.count(func.distinct(core.c.leaf_no)).label("record_count"),
            func.max(filed.c.tested_on).label("last_used_on"),
        )
        .join(core, core.c.core_no == instrument.c.core_no)
        .join(filed, filed.c.leaf_no == core.c.leaf_no)
        .where(and_(filed.c.standing == "current", instrument.c.serial_key != ""))
        .group_by(instrument.c.serial_key)
        .having(and_(due != "", due <= until))
        .order_by(due, func.max(instrument.c.serial_text))
    )
    return [DueInstrument(**row._mapping) for row in connection.execute(asked)]
