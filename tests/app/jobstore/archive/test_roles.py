"""On PostgreSQL a laptop only leaves deposits and reads answers, and an auditor only reads."""

from __future__ import annotations

import itertools

import pytest
from sqlalchemy import text
from sqlalchemy.exc import ProgrammingError

from app.jobstore.archive import Archive, ArchiveProblem, Asked
from app.jobstore.archive.roles import AUDITOR, DESK, LAPTOP, grant
from tests.app.jobstore.archive.conftest import AT, file, first
from tests.postgresql import Server

_NUMBER = itertools.count(1)


@pytest.fixture
def place_of_office(server: Server) -> str:
    place = server.database()
    its = Archive.open(place)
    file(its, first())
    grant(its._engine)
    its.close()
    return place


def as_(role: str, server: Server, place: str) -> str:
    """The place for somebody who has that role alone."""
    login = f"login_{next(_NUMBER)}_{role}"
    server.sql(f"CREATE ROLE {login} LOGIN IN ROLE {role}")
    return server.address(place.rpartition("/")[2], user=login)


def test_a_laptop_leaves_a_deposit_twice_and_reads_its_answer(server: Server, place_of_office: str) -> None:
    laptop = Archive.reach(as_(LAPTOP, server, place_of_office))
    for _ in range(2):
        digest_hex = laptop.deposit(b"bytes", device_text="laptop", at=AT)

    assert laptop.answers([digest_hex]) == {}
    assert len(laptop.leaves(size=0)) == laptop.size() == 1
    assert laptop.archive_id
    laptop.close()


@pytest.mark.parametrize(
    "statement",
    [
        "SELECT data FROM deposit",
        "SELECT * FROM filed",
        "SELECT * FROM words",
        "INSERT INTO answer (deposit_digest, outcome, sentence_text, at_utc) VALUES ('x', 'refused', '', '')",
        "UPDATE about SET value = 'x'",
        "DELETE FROM deposit",
        "DELETE FROM unanswered",
        "CREATE TEMP TABLE mine (deposit_digest text); CREATE TRIGGER hide AFTER INSERT ON mine "
        "FOR EACH ROW EXECUTE FUNCTION answer_waiting()",
        "CREATE TABLE more (name text)",
    ],
)
def test_a_laptop_can_do_nothing_else(server: Server, place_of_office: str, statement: str) -> None:
    laptop = Archive.reach(as_(LAPTOP, server, place_of_office))
    with pytest.raises(ProgrammingError, match="permission denied"), laptop._engine.begin() as connection:
        connection.execute(text(statement))
    laptop.close()


def test_an_auditor_reads_everything_and_changes_nothing(server: Server, place_of_office: str) -> None:
    auditor = Archive.open(as_(AUDITOR, server, place_of_office), read_only=True)
    (hit,) = auditor.search(Asked()).hits
    assert auditor.packed(hit.filed.record_digest) == first().packed
    auditor.close()

    writing = Archive.reach(as_(AUDITOR, server, place_of_office))
    with pytest.raises(ArchiveProblem, match="permission denied"):
        writing.hold(hit.filed.record_digest, reason_text="claim", person_text="X", at=AT)
    writing.close()


def test_the_desk_holds_and_searches_and_files_nothing(server: Server, place_of_office: str) -> None:
    desk = Archive.reach(as_(DESK, server, place_of_office))
    (hit,) = desk.search(Asked(words_text="1042")).hits
    desk.hold(hit.filed.record_digest, reason_text="claim", person_text="X", at=AT)
    desk.save_search("mine", Asked(), person_text="X")

    with pytest.raises(ArchiveProblem, match="permission denied"):
        desk.rebuild()
    desk.close()


def test_roles_are_given_again_without_harm(server: Server, place_of_office: str) -> None:
    its = Archive.open(place_of_office)
    assert grant(its._engine) == (LAPTOP, DESK, AUDITOR)
    its.close()


def test_a_file_has_no_roles(tmp_path) -> None:
    its = Archive.open(str(tmp_path / "archive.sqlite"))
    with pytest.raises(ArchiveProblem, match="no roles"):
        grant(its._engine)
    its.close()
