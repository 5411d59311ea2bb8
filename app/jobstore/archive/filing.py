"""Puts the rows of a record where they are searched, and knows how to take them out again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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
    put_all(connection, [(rows, given)])


def put_all(connection: Connection, records: Sequence[tuple[Rows, Row]]) -> None:
    """Add records, each with what the archive gives it; every table is spoken to once for all of them."""
    newest = _newest_revisions(connection, [rows for rows, _ in records])
    numbered = [(given["leaf_no"], rows) for rows, given in records]
    _add(
        connection,
        filed,
        ({**rows.filed, **given, "standing": _standing(rows.filed, newest)} for rows, given in records),
    )
    _put_cores(connection, [(leaf_no, one) for leaf_no, rows in numbered for one in rows.cores])
    for table, name in ((deviation, "deviations"), (person, "people")):
        hanging = ({**row, "leaf_no": leaf_no} for leaf_no, rows in numbered for row in getattr(rows, name))
        _add(connection, table, hanging)
    _put_words(connection, numbered)
    keeping.begin(connection, {given["record_digest"]: rows.keep_until for rows, given in records})


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


def _newest_revisions(connection: Connection, new: Sequence[Rows]) -> dict[str, int]:
    """The newest revision of each of the jobs, the new ones counted; those filed before it are superseded."""
    newest: dict[str, int] = {}
    for rows in new:
        job_id = rows.filed["job_id"]
        newest[job_id] = max(rows.filed["revision"], newest.get(job_id, 0))
    asked = select(filed.c.job_id, func.max(filed.c.revision)).group_by(filed.c.job_id)
    for job_id, before in connection.execute(asked.where(filed.c.job_id.in_(newest))).all():
        newest[job_id] = max(before, newest[job_id])
        older = (filed.c.job_id == job_id) & (filed.c.revision < newest[job_id])
        superseded = update(filed).where(older, filed.c.standing == "current").values(standing="superseded")
        connection.execute(superseded)
    return newest


def _standing(row: Row, newest: Mapping[str, int]) -> str:
    """How the record stands among the revisions of its job."""
    return "superseded" if row["revision"] < newest[row["job_id"]] else "current"


def _put_cores(connection: Connection, cores: Sequence[tuple[int, CoreRows]]) -> None:
    first = (connection.execute(select(func.max(core.c.core_no))).scalar() or 0) + 1
    numbered = list(enumerate(cores, start=first))
    own = ({**one.core, "core_no": number, "leaf_no": leaf_no} for number, (leaf_no, one) in numbered)
    _add(connection, core, own)
    for table, name in _HANGING:
        hanging = ({**row, "core_no": number} for number, (_, one) in numbered for row in getattr(one, name))
        _add(connection, table, hanging)


def _put_words(connection: Connection, records: Sequence[tuple[int, Rows]]) -> None:
    if is_postgresql(connection):
        statement = "INSERT INTO words (leaf_no, told) VALUES (:leaf_no, array_to_tsvector(:told))"
        told = [{"leaf_no": leaf_no, "told": list(rows.words)} for leaf_no, rows in records]
    else:
        statement = "INSERT INTO words (rowid, told) VALUES (:leaf_no, :told)"
        told = [{"leaf_no": leaf_no, "told": " ".join(rows.words)} for leaf_no, rows in records]
    if told:
        connection.execute(text(statement), told)


def _add(connection: Connection, table: Table, rows: Iterable[Any]) -> None:
    given = list(rows)
    if given:
        connection.execute(table.insert(), given)
