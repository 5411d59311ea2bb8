"""What is asked of the archive, and the pages of what is found, newest first."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import (
    ColumnElement,
    Connection,
    Select,
    and_,
    exists,
    func,
    or_,
    select,
)

from app.jobstore.archive import worded
from app.jobstore.archive.answers import FiledLine
from app.jobstore.archive.spelling import asked_words, look_up
from app.jobstore.archive.tables import core, deviation, filed, finding, instrument, person

PAGE: Final = 50
_MOST_CORES: Final = 6
_MOST_FINDINGS: Final = 4
_BEHIND_ALL: Final = "\U0010ffff"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What has to be true of what is found; an empty field asks nothing.

    A serial number, number, work order or class is found whole, or by its beginning where it ends in `*`.
    Site, place and person are found by any part of them, `words_text` anywhere in the record.
    """

    serial_text: str = ""
    number_text: str = ""
    work_order_text: str = ""
    class_text: str = ""
    site_text: str = ""
    position_text: str = ""
    person_text: str = ""
    instrument_text: str = ""
    tested_from: str = ""
    tested_until: str = ""
    worst: str = ""
    open_deviation: bool = False
    superseded_too: bool = False
    words_text: str = ""

    @property
    def is_empty(self) -> bool:
        """Whether nothing is asked."""
        return self == Asked(superseded_too=self.superseded_too)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreHit:
    """One core of what was found."""

    core_no: int
    core_id: str
    position_text: str
    phase_text: str
    core_number: int
    serial_text: str
    class_text: str
    worst: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One record that was found, with the first of the cores asked for and its worst findings."""

    filed: FiledLine
    cores: tuple[CoreHit, ...]
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """What was found, newest first; `next_before` asks for the page behind it, None on the last."""

    hits: tuple[Hit, ...]
    next_before: int | None


def spelled(asked: Asked) -> str:
    """The question as it is kept under a name."""
    return json.dumps({key: value for key, value in dataclasses.asdict(asked).items() if value})


def asked_of(spelled_text: str) -> Asked:
    """The question that was kept; what this program does not know of it is left out."""
    known = {field.name for field in dataclasses.fields(Asked)}
    kept = json.loads(spelled_text)
    return Asked(**{key: value for key, value in kept.items() if key in known})


def search(connection: Connection, asked: Asked, *, before: int | None, limit: int = PAGE) -> Page:
    """The records that fit, from the newest, or the one filed before leaf `before`, on."""
    wanted, told = _wanted(asked), _told(asked)
    if told:
        rows = worded.page(connection, wanted, told, before=before, limit=limit + 1)
    else:
        wanted = wanted if before is None else wanted.where(filed.c.leaf_no < before)
        rows = connection.execute(wanted.order_by(filed.c.leaf_no.desc()).limit(limit + 1)).all()
    lines = [line_of(row) for row in rows[:limit]]
    more = len(rows) > limit
    return Page(
        hits=tuple(_hits(connection, asked, lines)), next_before=lines[-1].leaf_no if more and lines else None
    )


def line_of(row: Any) -> FiledLine:
    """A row of what is filed as a line of a list."""
    return FiledLine(**{field.name: getattr(row, field.name) for field in dataclasses.fields(FiledLine)})


def cores_of(connection: Connection, leaf_no: int) -> list[CoreHit]:
    """Every core of a record, in the order of the sheet."""
    asked = select(core).where(core.c.leaf_no == leaf_no).order_by(core.c.core_no)
    return [_core_hit(row) for row in connection.execute(asked)]


def _wanted(asked: Asked) -> Select[Any]:
    """Everything that is asked but the words."""
    wanted = select(filed)
    if not asked.superseded_too:
        wanted = wanted.where(filed.c.standing == "current")
    for condition in (*_of_record(asked), *_of_parts(asked)):
        wanted = wanted.where(condition)
    cores = _of_core(asked)
    if cores:
        wanted = wanted.where(filed.c.leaf_no.in_(select(core.c.leaf_no).where(and_(*cores))))
    return wanted


def _of_record(asked: Asked) -> list[ColumnElement[bool]]:
    found = [
        _named(filed.c.number_key, asked.number_text),
        _named(filed.c.work_order_key, asked.work_order_text),
        _containing(filed.c.site_key, asked.site_text),
    ]
    if asked.tested_from:
        found.append(filed.c.tested_on >= asked.tested_from)
    if asked.tested_until:
        found.append(filed.c.tested_on <= asked.tested_until)
    if asked.worst:
        found.append(filed.c.worst == asked.worst)
    return [one for one in found if one is not None]


def _of_parts(asked: Asked) -> list[ColumnElement[bool]]:
    found: list[ColumnElement[bool]] = []
    if asked.person_text:
        name = _containing(person.c.name_key, asked.person_text)
        assert name is not None
        found.append(exists().where(and_(person.c.leaf_no == filed.c.leaf_no, name)))
    if asked.instrument_text:
        serial = _named(instrument.c.serial_key, asked.instrument_text)
        assert serial is not None
        used = select(core.c.leaf_no).join(instrument, instrument.c.core_no == core.c.core_no).where(serial)
        found.append(filed.c.leaf_no.in_(used))
    if asked.open_deviation:
        of_record = deviation.c.leaf_no == filed.c.leaf_no
        found.append(exists().where(and_(of_record, deviation.c.is_open == 1)))
    return found


def _of_core(asked: Asked) -> list[ColumnElement[bool]]:
    found = (
        _named(core.c.serial_key, asked.serial_text),
        _named(core.c.class_key, asked.class_text),
        _containing(core.c.position_key, asked.position_text),
    )
    return [one for one in found if one is not None]


def _named(key: Any, typed: str) -> ColumnElement[bool] | None:
    """Whole, or by its beginning where what was typed ends in a star; one index serves both."""
    looked = look_up(typed.rstrip("*"))
    if not looked:
        return None
    if not typed.rstrip().endswith("*"):
        return and_(key == looked)
    return and_(key >= looked, key < looked + _BEHIND_ALL)


def _containing(key: Any, typed: str) -> ColumnElement[bool] | None:
    looked = look_up(typed)
    return and_(key.contains(looked, autoescape=True)) if looked else None


def _told(asked: Asked) -> list[str]:
    """The words that the index of words is asked for; the last of a part that was typed may go on."""
    told = asked_words(asked.words_text)
    if asked.words_text.rstrip().endswith("*") and told:
        told[-1] += "*"
    for part in (asked.site_text, asked.position_text, asked.person_text):
        # Only whole words of the middle are sure to stand in the index: both ends may be parts of one.
        told += asked_words(part)[1:-1]
    return list(dict.fromkeys(told))


def _hits(connection: Connection, asked: Asked, lines: Sequence[FiledLine]) -> list[Hit]:
    if not lines:
        return []
    numbers = [line.leaf_no for line in lines]
    conditions = _of_core(asked)
    if asked.instrument_text:
        serial = _named(instrument.c.serial_key, asked.instrument_text)
        used = exists().where(and_(instrument.c.core_no == core.c.core_no, or_(serial)))  # type: ignore[arg-type]
        conditions = [*conditions, used]
    place = func.row_number().over(partition_by=core.c.leaf_no, order_by=core.c.core_no).label("place")
    inner = select(core, place).where(core.c.leaf_no.in_(numbers), *conditions).subquery()
    first = select(inner).where(inner.c.place <= _MOST_CORES).order_by(inner.c.core_no)
    shown: dict[int, list[CoreHit]] = {number: [] for number in numbers}
    for row in connection.execute(first):
        shown[row.leaf_no].append(_core_hit(row))
    told = _findings(connection, [one.core_no for found in shown.values() for one in found])
    return [
        Hit(
            filed=line,
            cores=tuple(shown[line.leaf_no]),
            findings=tuple(one for hit in shown[line.leaf_no] for one in told.get(hit.core_no, ()))[
                :_MOST_FINDINGS
            ],
        )
        for line in lines
    ]


def _findings(connection: Connection, numbers: Sequence[int]) -> dict[int, list[str]]:
    found: dict[int, list[tuple[int, str]]] = {}
    rank = {"outside": 0, "refer": 1, "not tested": 2}
    for row in connection.execute(select(finding).where(finding.c.core_no.in_(numbers))):
        found.setdefault(row.core_no, []).append((rank.get(row.verdict, 3), row.text))
    return {number: [told for _, told in sorted(of_core)] for number, of_core in found.items()}


def _core_hit(row: Any) -> CoreHit:
    return CoreHit(**{field.name: getattr(row, field.name) for field in dataclasses.fields(CoreHit)})
