"""Pages of what is found by its words, newest first, without looking at all that fits."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from sqlalchemy import Connection, Row, Select, any_, bindparam, column, func, select, table, text

from app.jobstore.archive.engine import is_postgresql
from app.jobstore.archive.tables import filed

# So many of the newest records are looked through one by one, in about a millisecond: a word that stands in
# one of a hundred fills a page from them.
_WALKED: Final = 8000
# Where more than so many are expected, walking on is quicker than gathering them all and sorting them.
_GATHERED: Final = 2500
_TOLD: Final = "told_words"


def page(
    connection: Connection, wanted: Select[Any], told: Sequence[str], *, before: int | None, limit: int
) -> Sequence[Row[Any]]:
    """The newest of the wanted records that hold all the words; one that ends in a star may go on."""
    if is_postgresql(connection):
        return _on_postgresql(connection, wanted, told, before, limit)
    words = table("words", column("rowid"))
    # Assumption: the table of words is walked backwards where its own number is what is asked to fall.
    wanted = wanted.join(words, words.c.rowid == filed.c.leaf_no).where(text(f"words MATCH :{_TOLD}"))
    if before is not None:
        wanted = wanted.where(words.c.rowid < before)
    asked = " ".join(_phrase(word) for word in told)
    return connection.execute(wanted.order_by(words.c.rowid.desc()).limit(limit), {_TOLD: asked}).all()


def _on_postgresql(
    connection: Connection, wanted: Select[Any], told: Sequence[str], before: int | None, limit: int
) -> Sequence[Row[Any]]:
    """The newest are walked through; for the rest the index is asked, unless too many are expected."""
    # A page wants fifty records, each found by its number; read alongside, all that were ever filed pass by.
    for join in ("mergejoin", "hashjoin"):
        connection.execute(text(f"SET LOCAL enable_{join} = off"))
    asked = {_TOLD: " & ".join(_lexeme(word) for word in told)}
    words = table("words", column("leaf_no"), column("told"))
    fits = words.c.told.op("@@")(func.to_tsquery(text("'simple'"), bindparam(_TOLD)))
    end = before if before is not None else 1 + (connection.scalar(select(func.max(filed.c.leaf_no))) or 0)
    newest_first = wanted.order_by(filed.c.leaf_no.desc())
    # Assumption: what is asked in this roundabout way is not looked up in the index.
    walking = newest_first.join(words, words.c.leaf_no == filed.c.leaf_no).where(fits.is_(True))

    def walked(low: int, high: int, count: int) -> Sequence[Row[Any]]:
        within = words.c.leaf_no.between(low, high - 1)
        return connection.execute(walking.where(within).limit(count), asked).all()

    rows = list(walked(end - _WALKED, end, limit))
    low, missing = end - _WALKED, limit - len(rows)
    if not missing or low <= 0:
        return rows
    older = select(words.c.leaf_no).where(fits, words.c.leaf_no < low)
    if _expected(connection, older, asked) > _GATHERED:
        return rows + list(walked(0, low, missing))
    gathered = newest_first.where(filed.c.leaf_no == any_(func.array(older.scalar_subquery())))
    return rows + list(connection.execute(gathered.limit(missing), asked))


def _expected(connection: Connection, asked: Select[Any], values: dict[str, str]) -> int:
    """How many rows the database expects, from what it knows of frequent words."""
    told = asked.compile(connection)
    ((plan,),) = connection.exec_driver_sql(f"EXPLAIN (FORMAT JSON) {told}", {**told.params, **values}).all()
    return int(plan[0]["Plan"]["Plan Rows"])


def _lexeme(word: str) -> str:
    # Words hold letters and digits alone, so that quoting them is enough.
    return f"'{word[:-1]}':*" if word.endswith("*") else f"'{word}'"


def _phrase(word: str) -> str:
    return f'"{word[:-1]}"*' if word.endswith("*") else f'"{word}"'
