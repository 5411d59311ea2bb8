"""For how long a record is kept, what holds it, and what stays of one that was deleted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, select, update

from app.jobstore.archive import notes
from app.jobstore.archive.engine import ArchiveProblem
from app.jobstore.archive.tables import hold, keeping, tombstone

# Retention classes by their id; the words for them are the window's.
FOR_EVER: Final = "for_ever"
RETENTIONS: Final = ("unit_life_plus_6", "24_years", "40_years", FOR_EVER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tombstone:
    """What stays of a record that was deleted: which it was, who deleted it, when and why."""

    record_digest: str
    leaf_no: int
    number_text: str
    revision: int
    reason_text: str
    person_text: str
    at_utc: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """For how long a record is kept, and who chose that; nobody where it is kept as everything is."""

    retention: str
    keep_until: str
    person_text: str
    at_utc: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A record that must not be deleted, by whose word and why."""

    hold_no: int
    record_digest: str
    reason_text: str
    person_text: str
    at_utc: str


def kept(connection: Connection, record_digest: str) -> Kept:
    """For how long a record is kept."""
    return Kept(**_fields(Kept, _kept(connection, record_digest)))


def begin(connection: Connection, until: Mapping[str, str]) -> None:
    """Keep records as everything is kept where nobody chose otherwise; the days by digest."""
    unsaid = {"retention": RETENTIONS[0], "person_text": "", "at_utc": ""}
    rows = ({**unsaid, "record_digest": name, "keep_until": day} for name, day in until.items())
    notes.add(connection, keeping, *rows)


def keep_until(
    connection: Connection, record_digest: str, *, retention: str, until: str, person_text: str, at_utc: str
) -> None:
    """Choose for how long a record is kept: it can only be longer than before."""
    row = _kept(connection, record_digest)
    if retention not in RETENTIONS:
        raise ArchiveProblem(f"Nothing was changed: {retention!r} is no class of keeping.")
    _demand_said(retention, person_text)
    if until < row.keep_until:
        raise ArchiveProblem(
            f"Nothing was changed: the record is kept until {row.keep_until} at least, and what is kept can "
            "only be kept longer."
        )
    said = {"retention": retention, "keep_until": until, "person_text": person_text, "at_utc": at_utc}
    connection.execute(update(keeping).where(keeping.c.record_digest == record_digest).values(said))


def put_hold(
    connection: Connection, record_digest: str, *, reason_text: str, person_text: str, at_utc: str
) -> None:
    """Hold a record: from now on nobody deletes it, whatever its day."""
    _kept(connection, record_digest)
    _demand_said(reason_text, person_text)
    row = {
        "record_digest": record_digest,
        "reason_text": reason_text,
        "person_text": person_text,
        "at_utc": at_utc,
    }
    connection.execute(hold.insert().values({**row, "ended_by_text": "", "ended_at_utc": ""}))


def end_hold(connection: Connection, hold_no: int, *, person_text: str, at_utc: str) -> None:
    """End a hold; that it was there stays written."""
    _demand_said("ended", person_text)
    ended = update(hold).where(hold.c.hold_no == hold_no, hold.c.ended_at_utc == "")
    if not connection.execute(ended.values(ended_by_text=person_text, ended_at_utc=at_utc)).rowcount:
        raise ArchiveProblem("Nothing was changed: there is no such hold, or it was ended before.")


def holds(connection: Connection, record_digest: str | None = None) -> list[Hold]:
    """The holds in force, of one record or of all."""
    asked = select(hold).where(hold.c.ended_at_utc == "").order_by(hold.c.hold_no)
    if record_digest is not None:
        asked = asked.where(hold.c.record_digest == record_digest)
    return [Hold(**_fields(Hold, row)) for row in connection.execute(asked)]


def demand_deletable(connection: Connection, record_digest: str, *, today: str) -> None:
    """Raise ArchiveProblem where the day of a record has not come, or somebody holds it."""
    row = _kept(connection, record_digest)
    if today < row.keep_until or row.retention == FOR_EVER:
        until = "for ever" if row.retention == FOR_EVER else f"until {row.keep_until}"
        raise ArchiveProblem(f"Nothing was deleted: the record is kept {until}.")
    held = holds(connection, record_digest)
    if held:
        raise ArchiveProblem(
            f"Nothing was deleted: the record is held by {held[0].person_text} ({held[0].reason_text})."
        )


def bury(connection: Connection, mark: Tombstone, *, deposit_digest: str) -> None:
    """Put the mark of a record, which lets its bytes go."""
    _demand_said(mark.reason_text, mark.person_text)
    kept = {name: getattr(mark, name) for name in Tombstone.__dataclass_fields__}
    connection.execute(tombstone.insert().values({**kept, "deposit_digest": deposit_digest}))


def tombstones(connection: Connection) -> list[Tombstone]:
    """The marks of everything that was deleted."""
    return [
        Tombstone(**_fields(Tombstone, row))
        for row in connection.execute(select(tombstone).order_by(tombstone.c.leaf_no))
    ]


def tombstones_of(connection: Connection, record_digests: Sequence[str]) -> dict[str, Tombstone]:
    """The marks of those of these records that were deleted."""
    asked = select(tombstone).where(tombstone.c.record_digest.in_(record_digests))
    return {row.record_digest: Tombstone(**_fields(Tombstone, row)) for row in connection.execute(asked)}


def _kept(connection: Connection, record_digest: str) -> Any:
    row = connection.execute(select(keeping).where(keeping.c.record_digest == record_digest)).first()
    if row is None:
        raise ArchiveProblem("Nothing was changed: there is no such record in the archive.")
    return row


def _demand_said(reason_text: str, person_text: str) -> None:
    if not reason_text.strip() or not person_text.strip():
        raise ArchiveProblem("Nothing was changed: a reason and a name are wanted; both stay written.")


def _fields(kind: Any, row: Any) -> dict[str, Any]:
    return {name: getattr(row, name) for name in kind.__dataclass_fields__}
