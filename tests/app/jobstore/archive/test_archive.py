"""The archive on SQLite and on PostgreSQL: deposits, answers, filing, receipts, the tree."""

from __future__ import annotations

import datetime as dt
import sqlite3

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from app.jobstore.archive import Answer, Archive, ArchiveProblem
from app.jobstore.archive.tables import APPEND_ONLY, core, curve, filed, keeping, result
from app.record import receipt
from app.record.canonical import digest
from app.record.merkle import tree_of
from tests.app.jobstore.archive.conftest import AT, file, filing_of, first, left, signed_receipt
from tests.app.record.signed_scene import revision_of


def rows(archive: Archive, table: object) -> list[dict[str, object]]:
    with archive._engine.connect() as connection:
        return [dict(row._mapping) for row in connection.execute(table.select())]  # type: ignore[attr-defined]


def test_the_same_bytes_again_are_one_deposit(archive: Archive) -> None:
    assert archive.deposit(b"bytes", device_text="a", at=AT) == archive.deposit(
        b"bytes", device_text="b", at=AT
    )
    assert [one.data for one in archive.waiting()] == [b"bytes"]


def test_a_refused_deposit_waits_no_longer_and_can_be_asked_again(archive: Archive) -> None:
    digest_hex = archive.deposit(b"bytes", device_text="a", at=AT)
    archive.say(
        Answer(digest_hex=digest_hex, outcome="refused", sentence_text="No.", at_utc="2031-06-01T09:00:00Z")
    )

    assert archive.waiting() == []
    assert [one.digest_hex for one in archive.waiting(again=True)] == [digest_hex]
    assert archive.answers([digest_hex, "0" * 64])[digest_hex].sentence_text == "No."


def test_what_is_answered_waits_no_longer_whatever_comes_behind_it(archive: Archive) -> None:
    one, two = (archive.deposit(data, device_text="a", at=AT) for data in (b"one", b"two"))
    archive.say(Answer(digest_hex=two, outcome="passed_on", sentence_text="Draft.", at_utc="2031"))
    archive.deposit(b"two", device_text="b", at=AT)

    assert [waiting.digest_hex for waiting in archive.waiting()] == [one]
    assert archive.waiting_count() == 1


def test_the_last_answer_counts(archive: Archive) -> None:
    digest_hex = archive.deposit(b"bytes", device_text="a", at=AT)
    for outcome in ("refused", "passed_on"):
        archive.say(Answer(digest_hex=digest_hex, outcome=outcome, sentence_text=outcome, at_utc="2031"))

    assert archive.answers([digest_hex])[digest_hex].outcome == "passed_on"


def test_what_is_filed_has_a_row_with_its_cores_values_and_curves(archive: Archive) -> None:
    file(archive, first())

    (row,) = rows(archive, filed)
    assert (row["leaf_no"], row["number_text"], row["revision"], row["standing"]) == (0, "1042", 1, "current")
    assert row["record_digest"] == digest(first().record)
    assert [one["keep_until"] for one in rows(archive, keeping)] == ["2055-05-06"]
    assert len(rows(archive, core)) == 1
    assert rows(archive, curve)


def test_the_receipt_names_the_place_in_the_tree(archive: Archive) -> None:
    file(archive, first(), revision_of("1043"))

    (answer,) = archive.answers([digest(revision_of("1043").packed)]).values()
    given = receipt.from_bytes(answer.receipt or b"")
    assert (given.leaf_no, given.tree_size, given.archive_id) == (1, 2, archive.archive_id)
    entries = [bytes.fromhex(digest(its.record)) for its in (first(), revision_of("1043"))]
    assert given.root == tree_of(entries).root == archive.tree().root


def test_a_record_filed_twice_is_there_once_with_the_same_receipt(archive: Archive) -> None:
    one, again = (archive.file([filing_of(archive, first())], sign=signed_receipt, at=AT) for _ in "12")

    assert one[0].receipt == again[0].receipt
    assert archive.tree().size == 1


def test_a_later_revision_supersedes_the_one_before_in_whatever_order_they_come(archive: Archive) -> None:
    file(archive, revision_of("1042", 2), first(), revision_of("1042", 3))

    standing = {row["revision"]: row["standing"] for row in rows(archive, filed)}
    assert standing == {1: "superseded", 2: "superseded", 3: "current"}


def test_a_filing_that_fails_leaves_nothing_behind(archive: Archive) -> None:
    def fail(given: receipt.Receipt) -> tuple[bytes, bytes]:
        raise RuntimeError("the key is gone")

    with pytest.raises(RuntimeError):
        archive.file([filing_of(archive, first())], sign=fail, at=AT)

    assert rows(archive, filed) == rows(archive, result) == []
    assert archive.tree().size == 0
    assert archive.waiting_count() == 1


def test_the_root_of_a_day_is_kept_when_the_next_one_begins(archive: Archive) -> None:
    from app.jobstore.archive.tables import day_root

    file(archive, first())
    after_first = archive.tree().root
    file(archive, revision_of("1043"), at=AT + dt.timedelta(days=2))

    assert rows(archive, day_root) == [{"day": "2031-06-01", "tree_size": 1, "root": after_first}]


@pytest.mark.parametrize("table", [*APPEND_ONLY, "deposit"])
@pytest.mark.parametrize("verb", ["UPDATE", "DELETE"])
def test_what_is_only_added_cannot_be_changed(archive: Archive, table: str, verb: str) -> None:
    file(archive, first())
    file(archive, revision_of("1043"), at=AT + dt.timedelta(days=2))
    _put_tombstone(archive)
    column = {"deposit": "device_text", "answer": "at_utc"}.get(table) or _first_column(archive, table)
    statement = f"UPDATE {table} SET {column} = {column}" if verb == "UPDATE" else f"DELETE FROM {table}"

    with (
        pytest.raises((DBAPIError, sqlite3.Error), match=r"only ever added|only where a tombstone"),
        archive._engine.begin() as connection,
    ):
        connection.execute(text(statement))


def _first_column(archive: Archive, table: str) -> str:
    from app.jobstore.archive.tables import metadata

    return next(iter(metadata.tables[table].columns)).name


def _put_tombstone(archive: Archive) -> None:
    from app.jobstore.archive.tables import revocation, tombstone

    with archive._engine.begin() as connection:
        row = {"record_digest": "x", "deposit_digest": "x", "leaf_no": 9, "number_text": "", "revision": 1}
        said = {"reason_text": "", "person_text": "", "at_utc": ""}
        connection.execute(tombstone.insert().values({**row, **said}))
        kept = {"office_fingerprint": "x", "list_no": 1, "data": b"x", "arrived_at_utc": ""}
        connection.execute(revocation.insert().values(kept))


def test_an_archive_open_for_reading_takes_nothing(archive: Archive, place: str) -> None:
    its = Archive.open(place, read_only=True)
    with pytest.raises(ArchiveProblem, match="reading only"):
        its.deposit(b"bytes", device_text="a", at=AT)
    assert its.waiting() == []
    its.close()


def test_an_archive_opened_again_goes_on(archive: Archive, place: str) -> None:
    left(archive, first())
    archive.close()
    again = Archive.open(place)

    assert again.waiting_count() == 1
    again.close()


def test_a_record_that_was_deleted_is_not_filed_again(archive: Archive) -> None:
    file(archive, first())
    long_after = dt.datetime(2060, 1, 1, tzinfo=dt.UTC)
    archive.delete(digest(first().record), reason_text="scrapped", person_text="K. Archivist", at=long_after)

    (answer,) = archive.file([filing_of(archive, first())], sign=signed_receipt, at=long_after)
    assert answer.outcome == "refused"
    assert "K. Archivist" in answer.sentence_text


def test_a_laptop_grows_its_own_tree_to_the_root_of_its_receipt(archive: Archive) -> None:
    file(archive, first(), revision_of("1043"))
    file(archive, first())

    seen = tree_of(bytes.fromhex(one) for one in archive.leaves(size=0))
    assert seen == archive.tree()
    assert archive.leaves(size=1) == [digest(revision_of("1043").record)]
