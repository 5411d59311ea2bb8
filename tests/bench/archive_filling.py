"""The quick way into the tables of an archive, past the program: for the benchmarks alone."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from typing import TYPE_CHECKING

from app.jobstore.archive import notes
from app.jobstore.archive.engine import POSTGRESQL
from tests.bench.archive_of import TABLES, Row, digest_of, told_of

if TYPE_CHECKING:
    from app.jobstore.archive import Archive

Batches = Iterator[tuple[range, dict[str, list[Row]]]]


def fill_tables(archive: Archive, batches: Batches) -> None:
    """Put the rows into their tables, and grow the tree by a leaf for each record."""
    tree = archive.tree()
    put = _postgresql if archive.url.get_backend_name() == POSTGRESQL else _sqlite
    for records in put(archive, batches):
        for record in records:
            tree = tree.grown(bytes.fromhex(digest_of(record)))
    with archive._writing() as connection:
        notes.keep_tree(connection, tree)


def _sqlite(archive: Archive, batches: Batches) -> Iterator[range]:
    with closing(sqlite3.connect(str(archive.url.database))) as raw:
        raw.execute("PRAGMA synchronous=OFF")
        raw.execute("PRAGMA cache_size=-400000")
        for records, found in batches:
            for table in TABLES:
                marks = ", ".join("?" * len(table.columns))
                raw.executemany(f"INSERT INTO {table.name} VALUES ({marks})", found[table.name])
            told = [(record, " ".join(told_of(record))) for record in records]
            raw.executemany("INSERT INTO words (rowid, told) VALUES (?, ?)", told)
            raw.commit()
            yield records


def _postgresql(archive: Archive, batches: Batches) -> Iterator[range]:
    import psycopg

    address = archive.url.set(drivername=POSTGRESQL).render_as_string(hide_password=False)
    with psycopg.connect(address) as connection, connection.cursor() as cursor:
        for records, found in batches:
            for table in TABLES:
                _copy(cursor, table.name, found[table.name])
            _copy(cursor, "words", [(record, _vector(told_of(record))) for record in records])
            connection.commit()
            yield records
        for table, number in (("deposit", "deposit_no"), ("answer", "answer_no")):
            last = f"(SELECT max({number}) FROM {table})"
            cursor.execute(f"SELECT setval(pg_get_serial_sequence('{table}', '{number}'), {last})")
        connection.commit()
        # What the server does by itself after a while.
        connection.autocommit = True
        cursor.execute("VACUUM ANALYZE")


def _copy(cursor: object, table: str, rows: list[Row]) -> None:
    with cursor.copy(f"COPY {table} FROM STDIN") as copy:  # type: ignore[attr-defined]
        for row in rows:
            copy.write_row(row)


def _vector(told: list[str]) -> str:
    # Words hold letters and digits alone, so that quoting them is enough.
    return " ".join(f"'{word}'" for word in told)
