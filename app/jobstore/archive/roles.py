"""Who may do what in an archive on PostgreSQL: three roles that hold rights, given to people's logins.

A laptop leaves deposits and reads answers; the desk reads everything, keeps questions and holds; an auditor
only reads. Filing is for the owner of the tables alone, which is the office's process.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Connection, Engine, text

from app.jobstore.archive.engine import ArchiveProblem, is_postgresql
from app.jobstore.archive.tables import metadata

LAPTOP, DESK, AUDITOR = "coreleaf_laptop", "coreleaf_desk", "coreleaf_auditor"
ROLES: Final = (LAPTOP, DESK, AUDITOR)

_LAPTOP_READS: Final = ("about", "answer", "alembic_version")
_DESK_WRITES: Final = (("hold", "INSERT, UPDATE"), ("keeping", "UPDATE"), ("saved_search", "INSERT, DELETE"))


@dataclass(frozen=True, slots=True)
class Rights:
    """What who asks may do: hold and keep longer and keep questions, and delete."""

    may_hold: bool
    may_delete: bool


def rights(connection: Connection) -> Rights:
    """What the login of this connection may do; on SQLite what may be done to the file."""
    if not is_postgresql(connection):
        asked = text("SELECT file FROM pragma_database_list WHERE name = 'main'")
        path = connection.execute(asked).scalar_one()
        writable = os.access(path, os.W_OK)
        return Rights(writable, writable)
    asked = text(
        "SELECT has_table_privilege('hold', 'INSERT') AS hold, "
        "has_table_privilege('deposit', 'DELETE') AS remove"
    )
    row = connection.execute(asked).one()
    return Rights(bool(row.hold), bool(row.remove))


def grant(engine: Engine) -> tuple[str, ...]:
    """Make the roles that are missing and give each its rights; the names of all three.

    ArchiveProblem on SQLite, whose file has no roles: who can open the folder can do everything.
    """
    with engine.begin() as connection:
        if not is_postgresql(connection):
            raise ArchiveProblem(
                "Nothing was changed. An archive in a file has no roles: the rights of its folder say who "
                "may use it."
            )
        known = set(connection.execute(text("SELECT rolname FROM pg_roles")).scalars())
        for role in ROLES:
            if role not in known:
                connection.execute(text(f"CREATE ROLE {role} NOLOGIN"))
        _give(connection)
    return ROLES


def _give(connection: Connection) -> None:
    tables = [*metadata.tables, "words", "alembic_version"]
    connection.execute(text(f"REVOKE ALL ON {', '.join(tables)} FROM PUBLIC, {', '.join(ROLES)}"))
    for role in ROLES:
        connection.execute(text(f"GRANT USAGE ON SCHEMA public TO {role}"))
    # Assumption: INSERT ... ON CONFLICT DO NOTHING without a named index needs no right to read.
    connection.execute(text(f"GRANT INSERT ON deposit TO {LAPTOP}"))
    connection.execute(text(f"GRANT SELECT ON {', '.join(_LAPTOP_READS)} TO {LAPTOP}"))
    connection.execute(text(f"GRANT SELECT ON {', '.join(tables)} TO {DESK}, {AUDITOR}"))
    for table, rights in _DESK_WRITES:
        connection.execute(text(f"GRANT {rights} ON {table} TO {DESK}"))
