"""Brings a store to the form of this program, or leaves the file exactly as it was.

A copy is taken first; the steps run in one transaction with foreign keys off (a table made anew would take
its children with it); committed only when keys, pages and row counts are right, and looked at once more.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Final

from sqlalchemy import Connection

from app.jobstore.answers import Damaged, StoreProblem
from app.jobstore.engine import UNREADABLE, demand_no_log, is_damage, open_engine, raw_connection
from app.jobstore.form import APPLICATION_ID, HEAD_REVISION, SCHEMA_VERSION
from app.record.files import sync_folder

MIGRATIONS_FOLDER: Final = Path(__file__).with_name("migrations")

_NO_SUCH_TABLE: Final = sqlite3.SQLITE_ERROR

Upgrade = Callable[[Connection], None]
Keep = Callable[[], None]


def bring_up(
    path: Path, *, read_only: bool, upgrade: Upgrade | None = None, keep: Keep | None = None
) -> None:
    """Make the store at `path`, or bring it to the newest form; nothing happens where it has that already.

    `keep` makes a copy among those that count, and raises where it cannot: then nothing is tried. Without it
    the copy of the old form stays beside the store. Raises StoreProblem, with the file untouched, for a file
    that is no store, or one of a newer program.
    """
    if read_only and path.exists():
        demand_no_log(path)
    found = revision_of(path, read_only=read_only) if path.exists() else None
    if found == HEAD_REVISION:
        return
    if found is not None and found not in known_revisions():
        raise StoreProblem(
            f"The file {path.name} was left exactly as it was. It was made by a newer Coreleaf "
            f"(form {found}; this one knows up to {HEAD_REVISION}): open it with that program."
        )
    if read_only:
        raise StoreProblem(
            f"The file {path.name} was left exactly as it was. It cannot be opened for reading only, because "
            "it first has to be brought to the form of this program: open it once for writing."
        )
    if found is None:
        _migrate(path, upgrade or run_steps)
        return
    if keep is not None:
        keep()
    backup = _back_up(path, found)
    _migrate(path, upgrade or run_steps)
    if not _sound(path):
        _restore(path, backup)
        raise StoreProblem(
            f"Everything saved in {path.name} is as it was: bringing it to the new form went wrong and was "
            f"taken back from the copy {backup.name}. Close other programs that use the disk and start again."
        )
    if keep is not None:
        backup.unlink(missing_ok=True)


def is_older(path: Path) -> bool:
    """Whether a file is a store of a form before this program's, which it can be brought up from."""
    if not path.exists():
        return False
    demand_no_log(path)
    found = revision_of(path, read_only=True)
    return found not in (None, HEAD_REVISION) and found in known_revisions()


def revision_of(path: Path, *, read_only: bool) -> str | None:
    """The form of the store in a file; None for an empty file.

    Raises StoreProblem for a file that holds something else, or that cannot be read at the moment.
    """
    read_only = read_only or not os.access(path, os.W_OK)
    try:
        with closing(raw_connection(path, read_only=read_only)) as raw:
            if not raw.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
                return None
            if raw.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
                raise _foreign(path)
            row = raw.execute("SELECT version_num FROM alembic_version").fetchone()
    except UNREADABLE as problem:
        if is_damage(problem) or getattr(problem, "sqlite_errorcode", None) == _NO_SUCH_TABLE:
            raise _foreign(path, problem) from problem
        raise StoreProblem(
            f"Nothing in {path.name} was changed. It can't be read at the moment ({problem}): check that the "
            "disk is connected and that no other program holds the file, then start again."
        ) from problem
    if row is None:
        raise _foreign(path)
    return str(row[0])


def known_revisions() -> frozenset[str]:
    """The names of every form that this program can start from."""
    from alembic.script import ScriptDirectory

    return frozenset(step.revision for step in ScriptDirectory(str(MIGRATIONS_FOLDER)).walk_revisions())


def run_steps(connection: Connection) -> None:
    """Run the steps that are missing, on this connection and in its transaction."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    # Format: a percent sign means something in the settings of Alembic, and may stand in a folder's name.
    config.set_main_option("script_location", str(MIGRATIONS_FOLDER).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _migrate(path: Path, upgrade: Upgrade) -> None:
    engine = open_engine(path, foreign_keys=False)
    try:
        with engine.connect() as connection, connection.begin():
            before, triggers = _row_counts(connection), _triggers(connection)
            upgrade(connection)
            connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
            connection.exec_driver_sql(f"PRAGMA user_version={SCHEMA_VERSION}")
            _demand_whole(connection, before, triggers)
    except StoreProblem:
        raise
    except Exception as problem:
        reason = getattr(problem, "orig", None) or problem
        raise StoreProblem(
            f"Everything saved in {path.name} is as it was: bringing it to the form of this program failed "
            f"({reason}) and was taken back. Free some disk space and start again."
        ) from problem
    finally:
        engine.dispose()


def _demand_whole(connection: Connection, before: dict[str, int], triggers: set[str]) -> None:
    after = _row_counts(connection)
    lost = sorted(name for name, count in before.items() if after.get(name) != count)
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    pages = [row[0] for row in connection.exec_driver_sql("PRAGMA integrity_check")]
    unguarded = sorted(triggers - _triggers(connection))
    if lost or broken or unguarded or pages != ["ok"]:
        what = (
            f"rows of {', '.join(lost)}"
            if lost
            else "links between rows"
            if broken
            else f"the guard {unguarded[0]}"
            if unguarded
            else pages[0]
        )
        raise StoreProblem(
            f"Everything saved in the store is as it was: bringing it to the new form would have changed "
            f"{what}, so it was taken back. Keep using the program that made it, and report this."
        )


def _row_counts(connection: Connection) -> dict[str, int]:
    names = connection.exec_driver_sql(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite!_%' ESCAPE '!'"
    )
    return {
        name: connection.exec_driver_sql(f'SELECT count(*) FROM "{name}"').scalar_one()
        for name in names.scalars().all()
        if name != "alembic_version"
    }


def _triggers(connection: Connection) -> set[str]:
    """The guards of the store: a table made anew loses them without a word."""
    names = connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    return set(names.scalars())


def _back_up(path: Path, revision: str) -> Path:
    backup = path.with_name(f"{path.name}.form-{revision}.backup")
    problem: Exception | None = None
    try:
        backup.unlink(missing_ok=True)
        with (
            closing(raw_connection(path, read_only=True)) as source,
            closing(raw_connection(backup, read_only=False)) as target,
        ):
            # SQLite syncs the copy itself when the backup ends.
            source.backup(target)
        sync_folder(backup.parent)
        if _sound(backup):
            return backup
    except (OSError, *UNREADABLE) as failure:
        problem = failure
    with suppress(OSError):
        backup.unlink(missing_ok=True)
    detail = f" ({problem})" if problem else ""
    raise StoreProblem(
        f"The file {path.name} was left exactly as it was: a copy of it could not be made and checked"
        f"{detail}. Free some disk space and start again."
    ) from problem


def _sound(path: Path) -> bool:
    try:
        with closing(raw_connection(path, read_only=True)) as raw:
            pages = raw.execute("PRAGMA integrity_check").fetchall()
            return pages == [("ok",)] and not raw.execute("PRAGMA foreign_key_check").fetchall()
    except UNREADABLE:
        return False


def _restore(path: Path, backup: Path) -> None:
    with (
        closing(raw_connection(backup, read_only=True)) as source,
        closing(raw_connection(path, read_only=False)) as target,
    ):
        source.backup(target)


def _foreign(path: Path, problem: Exception | None = None) -> Damaged:
    detail = f" ({problem})" if problem else ""
    return Damaged(
        f"The file {path.name} was left exactly as it was. It can't be read as a store of this program"
        f"{detail}: choose another file, or put back your newest copy."
    )
