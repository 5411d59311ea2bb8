"""A whole archive is found whole; one byte, one receipt or one place less is found out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest
from sqlalchemy import Connection, insert, select, text

from app.desk.archive.looking_through import LookedThrough, look_through
from app.jobstore.archive import Archive
from app.jobstore.archive.tables import filed
from app.record import certificates
from app.record.canonical import digest
from app.record.trust import NOBODY, Trust, trust_of
from tests.app.jobstore.archive.conftest import AT, file, first
from tests.app.record.signed_scene import office, revision_of


@pytest.fixture
def archive(place: str):
    its = Archive.open(place)
    file(its, first())
    file(its, revision_of("1043"), at=AT + dt.timedelta(days=1))
    yield its
    its.close()


def the_trust() -> Trust:
    """Whoever the office enrolled, its archive among them."""
    return trust_of([certificates.pem_of(office().certificate.der)])


def looked(archive: Archive) -> LookedThrough:
    return look_through(archive, the_trust())


def spoiled(archive: Archive, change: Callable[[Connection, bool], None]) -> LookedThrough:
    """What is found when somebody with the rights of the database changed something."""
    with archive._engine.begin() as connection:
        lite = connection.dialect.name == "sqlite"
        if lite:
            names = connection.execute(
                text("SELECT name FROM sqlite_master WHERE type = 'trigger'")
            ).scalars()
            for name in list(names):
                connection.execute(text(f"DROP TRIGGER {name}"))
        else:
            for table in ("answer", "deposit", "day_root"):
                connection.execute(text(f"ALTER TABLE {table} DISABLE TRIGGER USER"))
        change(connection, lite)
    return looked(archive)


def run(statement: str) -> Callable[[Connection, bool], None]:
    def change(connection: Connection, lite: bool) -> None:
        connection.execute(text(statement))

    return change


def test_a_whole_archive_is_whole(archive: Archive) -> None:
    told: list[tuple[int, int]] = []
    found = look_through(archive, the_trust(), tell=lambda done, of: told.append((done, of)))

    assert found.faults == ()
    assert found.text.startswith("Whole: 2 records")
    assert told == [(1, 2), (2, 2)]


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("DELETE FROM answer WHERE leaf_no = 0", "Place 1 of the archive is empty"),
        ("DELETE FROM deposit", "nobody deleted it"),
        ("UPDATE about SET value = '[]' WHERE name = 'tree'", "tree that the archive keeps"),
        ("UPDATE day_root SET root = 'x'", "root written down for 2031-06-01"),
        (
            "UPDATE answer SET receipt_signature = (SELECT receipt_signature FROM answer WHERE leaf_no = 1)",
            "Place 1",
        ),
        (
            "UPDATE filed SET record_digest = 'slipped in' WHERE leaf_no = 1",
            "Place 2: the search does not name",
        ),
    ],
)
def test_what_somebody_changed_is_found(archive: Archive, statement: str, told: str) -> None:
    if "about" in statement:
        statement = statement.replace("[]", "[0]")
    assert any(told in one for one in spoiled(archive, run(statement)).faults)


def test_a_line_of_the_search_that_somebody_slipped_in_is_found(archive: Archive) -> None:
    def slip_in(connection: Connection, lite: bool) -> None:
        line = dict(connection.execute(select(filed)).mappings().first() or {})
        connection.execute(insert(filed), [line | {"leaf_no": 7, "record_digest": "of nobody"}])

    assert "Place 8: the search does not name" in spoiled(archive, slip_in).faults[0]


def test_one_byte_of_a_pack_is_found(archive: Archive) -> None:
    def flip(connection: Connection, lite: bool) -> None:
        data = bytearray(first().packed)
        data[len(data) // 2] ^= 1
        where = {"data": bytes(data), "digest": digest(first().packed)}
        connection.execute(text("UPDATE deposit SET data = :data WHERE deposit_digest = :digest"), where)

    assert spoiled(archive, flip).faults == ("Place 1: the file is not the one that came.",)


def test_what_was_deleted_by_name_is_no_fault(archive: Archive) -> None:
    long_after = dt.datetime(2060, 1, 1, tzinfo=dt.UTC)
    archive.delete(digest(first().record), reason_text="scrapped", person_text="K. Archivist", at=long_after)

    found = looked(archive)
    assert (found.faults, found.deleted_count) == ((), 1)


def test_nobody_to_trust_means_nothing_can_be_told(archive: Archive) -> None:
    assert len(look_through(archive, NOBODY).faults) >= 2


def test_it_stops_where_it_is_told_to(archive: Archive) -> None:
    assert look_through(archive, the_trust(), stop=lambda: True).stopped
