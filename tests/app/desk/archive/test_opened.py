"""A record out of the archive: opened, checked afresh, kept longer, held, and why it is not deleted."""

from __future__ import annotations

import datetime as dt

import pytest

from app.desk.archive.opened import keep_longer, least_until, open_record, standing
from app.desk.view import Refusal
from app.jobstore.archive import Archive, ArchiveProblem
from app.record.canonical import digest
from app.record.revision import from_bytes
from tests.app.jobstore.archive.conftest import AT, file, first
from tests.app.record.signed_scene import revision_of, trust

DAY = dt.date(2031, 6, 2)


@pytest.fixture
def archive(place: str) -> Archive:
    its = Archive.open(place)
    file(its, first(), revision_of("1043"))
    yield its
    its.close()


def the_digest() -> str:
    return digest(first().record)


def test_an_opened_record_has_its_sheet_its_results_and_its_day(archive: Archive) -> None:
    opened = open_record(archive, the_digest(), today=DAY)
    assert opened.sheet is not None
    assert opened.sheet.data == first().sheet
    assert len([row for row in opened.rows if row.get("verdict")]) == len(from_bytes(first().record).findings)
    assert (opened.kept.keep_until, opened.why_not_deleted) == ("2055-05-06", "kept")


def test_a_hold_and_the_day_stand_against_deleting(archive: Archive) -> None:
    archive.hold(the_digest(), reason_text="claim", person_text="K. Archivist", at=AT)
    late = dt.date(2060, 1, 1)
    opened = open_record(archive, the_digest(), today=late)
    assert opened.why_not_deleted == "held"
    archive.end_hold(opened.holds[0].hold_no, person_text="K. Archivist", at=AT)
    assert open_record(archive, the_digest(), today=late).why_not_deleted == ""


def test_a_record_is_checked_afresh_with_its_receipt(archive: Archive) -> None:
    found = standing(archive, the_digest(), trust())
    assert found.verdict.outcome == "genuine"
    assert {one.meaning for one in found.verdict.signers} >= {"tested", "approved"}
    assert found.receipt_text.startswith("Filed in place 1, arrived 2031-06-01 09:00 UTC.")


def test_without_anybody_to_believe_nothing_is_called_genuine(archive: Archive) -> None:
    from app.record.trust import NOBODY

    found = standing(archive, the_digest(), NOBODY)
    assert found.verdict.outcome == "cannot tell"
    assert not found.receipt_counts
    assert "does not count here" in found.receipt_text


def test_keeping_longer_is_never_shorter_than_its_class(archive: Archive) -> None:
    opened = open_record(archive, the_digest(), today=DAY)
    assert least_until(opened, "40_years") == "2071-05-06"
    with pytest.raises(Refusal, match="until 2071-05-06 at least"):
        keep_longer(
            archive, opened, retention="40_years", until="2056-01-01", person_text="K. Archivist", at=AT
        )
    with pytest.raises(Refusal, match="is written as"):
        keep_longer(archive, opened, retention="40_years", until="soon", person_text="K. Archivist", at=AT)

    keep_longer(archive, opened, retention="for_ever", until="", person_text="K. Archivist", at=AT)
    assert open_record(archive, the_digest(), today=DAY).kept.retention == "for_ever"


def test_a_record_that_is_gone_is_a_sentence(archive: Archive) -> None:
    with pytest.raises(ArchiveProblem, match="There is no such record"):
        open_record(archive, "0" * 64, today=DAY)
