"""The sentence that a store opens with after the last run did not end by itself."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from sqlalchemy import Connection, desc, func, select

from app.jobstore import tables
from app.jobstore.clock import wall_clock
from app.jobstore.rows import part_of
from ctcore.job import METHOD_ROW

_LAST: Final = select(tables.reading).order_by(desc(tables.reading.c.reading_no)).limit(1)


def hot_journal(store: Path) -> bool:
    """Whether an unfinished transaction lies beside the store."""
    journal = store.with_name(store.name + "-journal")
    try:
        return journal.stat().st_size > 0
    except FileNotFoundError:
        return False


def drop_spent_journal(store: Path) -> None:
    """Take away the empty journal of a closed store, so that one plain file is left."""
    if not hot_journal(store):
        store.with_name(store.name + "-journal").unlink(missing_ok=True)


def safe_words(connection: Connection) -> str:
    """What was found safe in the store when it was read again."""
    count = connection.execute(select(func.count()).select_from(tables.reading)).scalar_one()
    row = connection.execute(_LAST).mappings().one_or_none()
    if row is None:
        return "The store was opened and read again: everything saved before is safe."
    noun = "reading is" if count == 1 else "readings are"
    time = wall_clock(row["at_utc"], row["utc_offset_minutes"])
    return f"Your {count} {noun} saved, the last one of {time}."


def restored_note(connection: Connection, *, taken_back: bool) -> str:
    """What was restored, and the last saved reading with place and time, in one sentence."""
    start = "Restored after an unexpected stop"
    if taken_back:
        start += ", an entry that had not finished saving was taken back"
    row = connection.execute(_LAST).mappings().one_or_none()
    if row is None:
        return f"{start}; no reading had been saved yet."
    typed = f"“{row['as_typed_text']}”" if row["as_typed_text"] else "struck or withdrawn"
    place = place_words(connection, row["job_id"], core_id=row["core_id"])
    where = [*place, row["procedure_id"]]
    if row["row"] != METHOD_ROW:
        where.append(f"row {row['row']}")
    time = wall_clock(row["at_utc"], row["utc_offset_minutes"])
    return f"{start}; the last saved reading is {typed} ({', '.join(where)}), saved {time}."


def place_words(connection: Connection, job_id: str, *, core_id: str) -> list[str]:
    """Job, position, phase and core of a reading, as many of them as are known."""
    number_text = connection.execute(
        select(tables.job.c.number_text).where(tables.job.c.job_id == job_id)
    ).scalar_one()
    words = [f"job {number_text}"]
    rows = connection.execute(
        select(tables.part).where(tables.part.c.job_id == job_id, tables.part.c.kind.in_(("position", "ct")))
    ).mappings()
    parts = [part_of(row) for row in rows]
    names = {part.body["position_id"]: part.body["name_text"] for part in parts if part.kind == "position"}
    for part in parts:
        for core in part.body.get("cores", ()) if part.kind == "ct" else ():
            if core["core_id"] == core_id:
                words += [names.get(part.body["position_id"], ""), part.body["phase_text"]]
                words.append(f"core {core['number']}")
    return [word for word in words if word]
