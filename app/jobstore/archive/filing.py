"""Puts the rows of a record where they are searched, and knows how to take them out again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Final

from sqlalchemy import Connection, Table, func, select, text, update

from app.jobstore.archive import keeping
from app.jobstore.archive.engine import is_postgresql
from app.jobstore.archive.rows import CoreRows, Row, Rows
from app.jobstore.archive.tables import (
    REBUILT,
    core,
    curve,
    deviation,
    filed,
    finding,
    instrument,
    person,
    result,
)
from app.record.receipt import Receipt

_HANGING: Final[tuple[tuple[Table, str], ...]] = (
    (result, "results"),
    (curve, "curves"),
    (finding, "findings"),
    (instrument, "instruments"),
)


def put(connection: Connection, rows: Rows, given: Row) -> None:
    """Add a record under the `leaf_no` and with the other fields that the archive gives it, `given`."""
    leaf_no = given["leaf_no"]
    connection.execute(
        filed.insert().values({**rows.filed, **given, "standing": _standing(connection, rows)})
    )
    _put_cores(connection, leaf_no, rows.cores)
    _add(connection, deviation, ({**row, "leaf_no": leaf_no} for row in rows.deviations))
    _add(connection, person, ({**row, "leaf_no": leaf_no} for row in rows.people))
    _put_words(connection, leaf_no, rows.words)
    keeping.begin(connection, given["record_digest"], until=rows.keep_until)


def own(receipt: Receipt) -> Row:
    """What the archive gives a record, as its receipt says."""
    return {
        "leaf_no": receipt.leaf_no,
        "record_digest": receipt.record_digest,
        "deposit_digest": receipt.deposit_digest,
        "arrived_at_utc": receipt.arrived_at_utc,
        "sheet_text": "",
    }


def clear(connection: Connection) -> None:
    """Take everything out that can be made anew."""
    for table in REBUILT:
        connection.execute(table.delete())
    connection.execute(text("DELETE FROM words"))


def take_out(connection: Connection, leaf_no: int) -> None:
    """Take one record out of everything that is searched; what hangs on it goes along."""
    numbers = select(core.c.core_no).where(core.c.leaf_no == leaf_no)
    for table, _ in _HANGING:
        connection.execute(table.delete().where(table.c.core_no.in_(numbers)))
    for table in (core, deviation, person, filed):
        connection.execute(table.delete().where(table.c.leaf_no == leaf_no))
    name = "leaf_no" if is_postgresql(connection) else "rowid"
    connection.execute(text(f"DELETE FROM words WHERE {name} = :leaf_no"), {"leaf_no": leaf_no})


def _standing(connection: Connection, rows: Rows) -> str:
    """How the record stands among the revisions of its job; older ones are superseded by it."""
    job_id, revision = rows.filed["job_id"], rows.filed["revision"]
    newest = connection.execute(select(func.max(filed.c.revision)).where(filed.c.job_id == job_id)).scalar()
    if newest is not None and newest > revision:
        return "superseded"
    older = (filed.c.job_id == job_id) & (filed.c.revision < revision) & (filed.c.standing == "current")
    connection.execute(update(filed).where(older).values(standing="superseded"))
    return "current"


def _put_cores(connection: Connection, leaf_no: int, cores: Sequence[CoreRows]) -> None:
    first = (connection.execute(select(func.max(core.c.core_no))).scalar() or 0) + 1
    numbered = list(enumerate(cores, start=first))
    _add(connection, core, ({**one.core, "core_no": number, "leaf_no": leaf_no} for number, one in numbered))
    for table, name in _HANGING:
        hanging = ({**row, "core_no": number} for number, one in numbered for row in getattr(one, name))
        _add(connection, table, hanging)


def _put_words(connection: Connection, leaf_no: int, told: Sequence[str]) -> None:
    if is_postgresql(connection):
        connection.execute(
            text("INSERT INTO words (leaf_no, told) VALUES (:leaf_no, array_to_tsvector(:told))"),
            {"leaf_no": leaf_no, "told": list(told)},
        )
    else:
        connection.execute(
            text("INSERT INTO words (rowid, told) VALUES (:leaf_no, :told)"),
            {"leaf_no": leaf_no, "told": " ".join(told)},
        )


def _add(connection: Connection, table: Table, rows: Iterable[Any]) -> None:
    given = list(rows)
    if given:
        connection.execute(table.insert(), given)
