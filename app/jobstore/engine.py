"""One connection to a SQLite file with settings that keep a reading through a power cut, each read back."""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import QueuePool

from app.jobstore.answers import StoreProblem

BEGIN_OPTION: Final = "coreleaf_begin"
OLDEST_SQLITE: Final = (3, 37, 0)

# Assumption: sqlite3 raises UnicodeDecodeError where its message would quote bytes of a spoiled file.
UNREADABLE: Final = (sqlite3.Error, UnicodeDecodeError)
# Format: where the header says how changes are written, and what it says where they go into a log beside it.
_WRITING_AT: Final = 18
_INTO_A_LOG: Final = 2

# Setting, value to ask for, value that must be read back.
PRAGMAS: Final[tuple[tuple[str, str, object], ...]] = (
    ("journal_mode", "TRUNCATE", "truncate"),
    ("synchronous", "FULL", 2),
    ("foreign_keys", "ON", 1),
    ("trusted_schema", "OFF", 0),
    ("cell_size_check", "ON", 1),
    ("mmap_size", "0", 0),
    ("busy_timeout", "5000", 5000),
    ("temp_store", "MEMORY", 2),
)
# Assumption: a connection that may only read cannot change the journal mode, and never needs to.
_WRITER_ONLY: Final = frozenset({"journal_mode"})


def open_engine(path: Path, *, read_only: bool = False, foreign_keys: bool = True) -> Engine:
    """An engine with one connection that any one thread at a time may use; transactions are begun in words.

    Raises StoreProblem where the database engine is too old or a setting does not read back.
    """
    demand_version(sqlite3.sqlite_version_info)

    def connect() -> sqlite3.Connection:
        return connected(path, read_only=read_only, foreign_keys=foreign_keys)

    engine = create_engine(
        "sqlite://", creator=connect, poolclass=QueuePool, pool_size=1, max_overflow=0, pool_timeout=10
    )
    event.listen(engine, "begin", _begin)
    return engine


def connected(path: Path, *, read_only: bool, foreign_keys: bool = True) -> sqlite3.Connection:
    """A plain connection with every setting made and read back."""
    raw = raw_connection(path, read_only=read_only)
    try:
        for name, asked, wanted in PRAGMAS:
            if read_only and name in _WRITER_ONLY:
                continue
            if name == "foreign_keys" and not foreign_keys:
                asked, wanted = "OFF", 0
            _demand_pragma(raw, name, asked=asked, wanted=wanted)
    except BaseException:
        raw.close()
        raise
    return raw


def raw_connection(path: Path, *, read_only: bool) -> sqlite3.Connection:
    """A connection without settings, to look at a file before anything about it is known."""
    mode = "ro" if read_only else "rwc"
    return sqlite3.connect(
        f"file:{quote(str(path.absolute()))}?mode={mode}",
        uri=True,
        isolation_level=None,
        check_same_thread=False,
        timeout=5.0,
        cached_statements=64,
    )


def take_back(path: Path) -> None:
    """Let SQLite take back what an unfinished transaction left in a file that nobody else has open."""
    with suppress(*UNREADABLE), closing(raw_connection(path, read_only=False)) as raw:
        raw.execute("SELECT count(*) FROM sqlite_master").fetchone()


def demand_no_log(path: Path) -> None:
    """Refuse a store for reading only whose header asks for a log: the log would be made beside it.

    Assumption: nobody writes through this process meanwhile, whose locks on the file would go.
    """
    try:
        with path.open("rb") as stream:
            header = stream.read(_WRITING_AT + 2)
    except OSError:
        # Whoever opens it next says why it cannot be read.
        return
    if _INTO_A_LOG in header[_WRITING_AT:]:
        raise StoreProblem(
            f"The file {path.name} was left exactly as it was. It does not say how it is written as this "
            "program left it, so it cannot be opened for reading only: put back your newest copy, or open it "
            "once for writing."
        )


def is_damage(problem: BaseException | None) -> bool:
    """Whether an error says that the file itself cannot be read, and not the disk, the space or a lock."""
    if isinstance(problem, UnicodeDecodeError):
        return True
    code = getattr(problem, "sqlite_errorcode", 0) & 0xFF
    return code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def is_full(problem: BaseException | None) -> bool:
    """Whether an error says that there is no room on the disk."""
    return getattr(problem, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_FULL


def engine_version() -> str:
    """The version of the database engine, as it names itself."""
    return sqlite3.sqlite_version


def demand_version(version: tuple[int, ...]) -> None:
    """Refuse a database engine that is older than what the tables need."""
    if version < OLDEST_SQLITE:
        raise StoreProblem(
            "Nothing was opened or changed. This computer's SQLite is version "
            f"{'.'.join(map(str, version))}, and the store needs {'.'.join(map(str, OLDEST_SQLITE))} or "
            "newer: install a newer Python or SQLite and start again."
        )


def _demand_pragma(raw: sqlite3.Connection, name: str, *, asked: str, wanted: object) -> None:
    raw.execute(f"PRAGMA {name}={asked}").fetchall()
    row = raw.execute(f"PRAGMA {name}").fetchone()
    # Assumption: a build without memory mapping answers mmap_size with no row at all, which is as good as 0.
    found = row[0] if row else (0 if name == "mmap_size" else None)
    if found != wanted:
        raise StoreProblem(
            f"Nothing was opened or changed. The database engine did not accept the setting {name}={asked} "
            f"(it answers {found!r}), without which a reading could be lost in a power cut: "
            "keep the store on a local disk and start again."
        )


def _begin(connection: Connection) -> None:
    options: Any = connection.get_execution_options()
    connection.exec_driver_sql(options.get(BEGIN_OPTION, "BEGIN IMMEDIATE"))
