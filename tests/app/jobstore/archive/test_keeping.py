"""What is kept goes only by a named person, with a reason, after its day; the rest can be made anew."""

from __future__ import annotations

import datetime as dt

import pytest

from app.jobstore.archive import Archive, ArchiveProblem, Asked
from app.jobstore.archive.tables import REBUILT
from app.record.canonical import digest
from tests.app.jobstore.archive.conftest import AT, file, first
from tests.app.jobstore.archive.test_archive import rows
from tests.app.record.signed_scene import revision_of

LONG_AFTER = dt.datetime(2060, 1, 1, tzinfo=dt.UTC)
WHO = "K. Archivist"


def the_digest() -> str:
    return digest(first().record)


def test_a_record_is_not_deleted_before_its_day(archive: Archive) -> None:
    file(archive, first())
    with pytest.raises(ArchiveProblem, match="kept until 2055-05-06"):
        archive.delete(the_digest(), reason_text="scrapped", person_text=WHO, at=AT)
    assert archive.packed(the_digest()) == first().packed


def test_a_record_that_is_held_is_not_deleted_after_its_day(archive: Archive) -> None:
    file(archive, first())
    archive.hold(the_digest(), reason_text="claim", person_text=WHO, at=AT)
    with pytest.raises(ArchiveProblem, match=r"held by K\. Archivist"):
        archive.delete(the_digest(), reason_text="scrapped", person_text=WHO, at=LONG_AFTER)

    (held,) = archive.holds(the_digest())
    archive.end_hold(held.hold_no, person_text=WHO, at=LONG_AFTER)
    assert archive.delete(the_digest(), reason_text="scrapped", person_text=WHO, at=LONG_AFTER)


def test_a_hold_ends_once(archive: Archive) -> None:
    file(archive, first())
    archive.hold(the_digest(), reason_text="claim", person_text=WHO, at=AT)
    (held,) = archive.holds()
    archive.end_hold(held.hold_no, person_text=WHO, at=AT)
    with pytest.raises(ArchiveProblem, match="no such hold"):
        archive.end_hold(held.hold_no, person_text=WHO, at=AT)


def test_what_was_deleted_leaves_its_mark_and_its_leaf(archive: Archive) -> None:
    file(archive, first(), revision_of("1043"))
    root = archive.tree().root
    archive.delete(the_digest(), reason_text="scrapped", person_text=WHO, at=LONG_AFTER)

    (mark,) = archive.tombstones()
    assert (mark.number_text, mark.leaf_no, mark.reason_text, mark.person_text) == (
        "1042",
        0,
        "scrapped",
        WHO,
    )
    assert archive.tree().root == root
    assert [hit.filed.number_text for hit in archive.search(Asked()).hits] == ["1043"]
    assert archive.search(Asked(words_text="1042")).hits == ()
    with pytest.raises(ArchiveProblem, match="may have been deleted"):
        archive.packed(the_digest())


@pytest.mark.parametrize(
    "said", [{"reason_text": " ", "person_text": WHO}, {"reason_text": "why", "person_text": ""}]
)
def test_nothing_is_deleted_or_held_without_name_and_reason(archive: Archive, said: dict[str, str]) -> None:
    file(archive, first())
    with pytest.raises(ArchiveProblem, match="reason and a name"):
        archive.delete(the_digest(), at=LONG_AFTER, **said)
    with pytest.raises(ArchiveProblem, match="reason and a name"):
        archive.hold(the_digest(), at=AT, **said)
    assert archive.packed(the_digest()) == first().packed


def test_a_record_is_kept_longer_and_never_shorter(archive: Archive) -> None:
    file(archive, first())
    said = {"person_text": WHO, "at": AT}
    archive.keep_until(the_digest(), retention="40_years", until="2071-05-06", **said)
    with pytest.raises(ArchiveProblem, match="2071-05-06 at least"):
        archive.keep_until(the_digest(), retention="24_years", until="2055-05-06", **said)
    with pytest.raises(ArchiveProblem, match="no class"):
        archive.keep_until(the_digest(), retention="a week", until="2099-05-06", **said)


def test_what_is_kept_for_ever_is_never_deleted(archive: Archive) -> None:
    file(archive, first())
    archive.keep_until(the_digest(), retention="for_ever", until="2055-05-06", person_text=WHO, at=AT)
    with pytest.raises(ArchiveProblem, match="for ever"):
        archive.delete(the_digest(), reason_text="scrapped", person_text=WHO, at=LONG_AFTER)


def test_everything_that_is_searched_can_be_made_anew(archive: Archive) -> None:
    file(archive, first(), revision_of("1042", 2), revision_of("1043"))
    before = {table.name: rows(archive, table) for table in REBUILT}
    told: list[tuple[int, int]] = []

    assert archive.rebuild(lambda done, of: told.append((done, of))) == 3
    assert {table.name: rows(archive, table) for table in REBUILT} == before
    assert told[-1] == (3, 3)
    assert [hit.filed.number_text for hit in archive.search(Asked(words_text="1043")).hits] == ["1043"]


def test_what_was_deleted_does_not_come_back_when_all_is_made_anew(archive: Archive) -> None:
    file(archive, first(), revision_of("1043"))
    archive.delete(the_digest(), reason_text="scrapped", person_text=WHO, at=LONG_AFTER)
    archive.rebuild()
    assert [hit.filed.number_text for hit in archive.search(Asked()).hits] == ["1043"]
