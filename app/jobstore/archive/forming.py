"""Makes the tables of an archive, or brings them to the form of this program, in one transaction."""

from __future__ import annotations

import uuid
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, Engine, inspect, text

from app.jobstore.archive.engine import ArchiveProblem, is_postgresql
from app.jobstore.archive.tables import APPLICATION_ID, HEAD_REVISION, about

FOLDER: Final = Path(__file__).with_name("migrations")
ARCHIVE_ID: Final = "archive_id"
# Any number will do, as long as every program uses it: two that start at once go one after the other.
_LOCK: Final = 0x434C6131


def bring_up(engine: Engine, *, name: str, read_only: bool) -> None:
    """Make the archive, or bring it to the newest form; nothing happens where it has that already.

    ArchiveProblem, with nothing changed, where it was made by a newer program or holds something else.
    """
    with engine.connect() as connection:
        found = _form_of(connection, name)
    if found == HEAD_REVISION:
        return
    if found is not None and found not in known_revisions():
        raise ArchiveProblem(
            f"Nothing in {name} was changed. It was made by a newer Coreleaf (form {found}; this one knows "
            f"up to {HEAD_REVISION}): open it with that program. What waits on this computer goes on waiting."
        )
    if read_only:
        older = "is of an older form" if found else "has no tables yet"
        raise ArchiveProblem(
            f"Nothing in {name} was changed. It {older}: the office's keeper has to open it once for writing."
        )
    with engine.begin() as connection:
        if is_postgresql(connection):
            connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _LOCK})
        if _form_of(connection, name) != HEAD_REVISION:
            run_steps(connection)
            _name(connection)


def demand_form(engine: Engine, *, name: str) -> None:
    """ArchiveProblem where a laptop finds an archive of another form than its own; nothing is made."""
    with engine.connect() as connection:
        found = _form_of(connection, name)
    if found == HEAD_REVISION:
        return
    if found is None:
        told = "has no tables yet: the office has to set it up"
    elif found in known_revisions():
        told = "is older than this program: ask the office to open it once with a program as new as this one"
    else:
        told = "is newer than this program: bring this computer's Coreleaf up to date"
    kept = "Everything on this computer is kept and waits."
    raise ArchiveProblem(f"{kept} {name[:1].upper()}{name[1:]} {told}.")


def known_revisions() -> frozenset[str]:
    """The names of every form that this program can start from."""
    from alembic.script import ScriptDirectory

    return frozenset(step.revision for step in ScriptDirectory(str(FOLDER)).walk_revisions())


def run_steps(connection: Connection) -> None:
    """Run the steps that are missing, on this connection and in its transaction."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    # Format: a percent sign means something in the settings of Alembic, and may stand in a folder's name.
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _form_of(connection: Connection, name: str) -> str | None:
    """The form of what is there; None where there is nothing yet."""
    tables = set(inspect(connection).get_table_names())
    if not tables:
        return None
    ours = {"alembic_version", about.name} <= tables
    if ours and not is_postgresql(connection):
        ours = connection.exec_driver_sql("PRAGMA application_id").scalar_one() == APPLICATION_ID
    if not ours:
        raise ArchiveProblem(
            f"Nothing was changed: {name} holds something else and is no archive of this program. "
            "Choose another."
        )
    return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())


def _name(connection: Connection) -> None:
    if not is_postgresql(connection):
        connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
    known = connection.execute(about.select().where(about.c.name == ARCHIVE_ID)).first()
    if known is None:
        connection.execute(about.insert().values(name=ARCHIVE_ID, value=str(uuid.uuid4())))
