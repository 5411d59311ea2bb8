"""What the archive knows of itself: its number, the tree over what was filed, and rows that come once."""

from __future__ import annotations

import json
from typing import Any, Final

from sqlalchemy import Connection, Table, select, update
from sqlalchemy.dialects import postgresql, sqlite

from app.jobstore.archive.engine import is_postgresql
from app.jobstore.archive.tables import about
from app.record.merkle import Tree

_TREE: Final = "tree"


def add(connection: Connection, table: Table, *rows: dict[str, Any]) -> None:
    """Add rows; where there is one of a row's key already, nothing happens to it."""
    if not rows:
        return
    kind = postgresql if is_postgresql(connection) else sqlite
    # Assumption: without a named index and without its number asked back nothing is read, so that a role that
    # may only insert can do it.
    connection.execute(kind.insert(table).on_conflict_do_nothing().inline(), list(rows))


def kept(connection: Connection, name: str) -> str:
    """What is kept under a name; empty where there is nothing."""
    return connection.execute(select(about.c.value).where(about.c.name == name)).scalar() or ""


def keep(connection: Connection, name: str, value: str) -> None:
    """Keep a value under a name in the place of the one before."""
    changed = connection.execute(update(about).where(about.c.name == name).values(value=value))
    if not changed.rowcount:
        connection.execute(about.insert().values(name=name, value=value))


def tree(connection: Connection) -> Tree:
    """The tree over everything that was filed."""
    spelled = kept(connection, _TREE)
    if not spelled:
        return Tree()
    size, *parts = json.loads(spelled)
    return Tree(size, tuple(bytes.fromhex(part) for part in parts))


def keep_tree(connection: Connection, grown: Tree) -> None:
    """Keep the tree as it stands now."""
    keep(connection, _TREE, json.dumps([grown.size, *(part.hex() for part in grown.parts)]))
