"""Figures over the archive: faults by rule, open deviations by day, instruments whose calibration ends."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from app.jobstore.archive import Archive, ArchiveProblem, Rights
from app.record.canonical import digest
from app.record.revision import Record
from ctcore.job import Deviation, places
from tests.app.jobstore.archive.conftest import AT, file, first
from tests.app.jobstore.archive.test_searching import changed, put


def with_findings(record: Record, *verdicts: str) -> Record:
    core_id = places(record.job)[0].core.core_id
    found = tuple(
        dataclasses.replace(
            record.findings[0], core=core_id, rule="winding.resistance", verdict=verdict, text=f"No. {number}"
        )
        for number, verdict in enumerate(verdicts)
    )
    return dataclasses.replace(record, findings=found)


def with_deviation(record: Record, due_on: str | None, owner_text: str, decision_text: str = "") -> Record:
    made = Deviation(
        deviation_id="d1", core_id="", procedure_id="", found_text="Terminal box was wet.", due_on=due_on,
        owner_text=owner_text, decision_text=decision_text,
    )  # fmt: skip
    return dataclasses.replace(record, job=dataclasses.replace(record.job, deviations=(made,)))


def with_day(record: Record, due_on: str | None) -> Record:
    instruments = tuple(
        dataclasses.replace(one, serial_text="M-7", due_on=due_on) for one in record.job.instruments
    )
    return dataclasses.replace(record, job=dataclasses.replace(record.job, instruments=instruments))


def test_faults_are_counted_by_rule_and_verdict(archive: Archive) -> None:
    put(archive, with_findings(changed("A"), "outside", "refer", "within"), 0)
    put(archive, with_findings(changed("B"), "outside", "not tested"), 1)

    (count,) = archive.fault_counts()
    assert (count.rule, count.outside_count, count.refer_count, count.other_count) == (
        "winding.resistance", 2, 1, 1,
    )  # fmt: skip
    assert (count.core_count, count.record_count) == (2, 2)


def test_open_deviations_stand_by_their_day_and_undated_ones_last(archive: Archive) -> None:
    put(archive, with_deviation(changed("A"), None, "P. Dry"), 0)
    put(archive, with_deviation(changed("B"), "2032-03-01", "Q. Late"), 1)
    put(archive, with_deviation(changed("C"), "2031-03-01", "R. Soon"), 2)
    put(archive, with_deviation(changed("D"), None, "S. Done", "accepted"), 3)

    found = [(one.number_text, one.owner_text) for one in archive.open_deviations()]
    assert found == [("C", "R. Soon"), ("B", "Q. Late"), ("A", "P. Dry")]


def test_an_instrument_that_was_calibrated_since_is_not_due(archive: Archive) -> None:
    put(archive, with_day(changed("A"), "2031-06-30"), 0)
    (due,) = archive.instruments_due(until="2031-07-01")
    assert (due.serial_text, due.due_on, due.record_count) == ("M-7", "2031-06-30", 1)

    put(archive, with_day(changed("B"), "2032-06-30"), 1)
    assert archive.instruments_due(until="2031-07-01") == []


def test_a_record_says_how_long_it_is_kept_and_shows_its_receipt(archive: Archive) -> None:
    file(archive, first())
    name = digest(first().record)
    assert archive.kept(name).retention == "unit_life_plus_6"
    archive.keep_until(name, retention="for_ever", until="2090-01-01", person_text="K. Archivist", at=AT)
    assert archive.kept(name).person_text == "K. Archivist"
    given = archive.receipt_of(name)
    assert given is not None
    assert (given[0].record_digest, given[0].leaf_no) == (name, 0)
    assert archive.receipt_of("0" * 64) is None


def test_an_archive_that_is_there_is_looked_at_with_the_rights_of_who_looks(place: str) -> None:
    Archive.open(place).close()
    seen = Archive.look(place)
    assert (seen.read_only, seen.rights()) == (False, Rights(may_hold=True, may_delete=True))
    seen.close()


def test_looking_at_a_file_that_is_not_there_makes_none(tmp_path: Path) -> None:
    with pytest.raises(ArchiveProblem, match="There is no file"):
        Archive.look(str(tmp_path / "slip.sqlite"))
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_may_not_be_written_is_open_for_reading(tmp_path: Path, monkeypatch) -> None:
    place = tmp_path / "archive.sqlite"
    Archive.open(str(place)).close()
    monkeypatch.setattr("app.jobstore.archive.roles.os.access", lambda *_: False)
    seen = Archive.look(str(place))
    assert seen.read_only
    with pytest.raises(ArchiveProblem, match="for reading only"):
        seen.forget_search("any")
    seen.close()
