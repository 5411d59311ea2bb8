"""From the laptop to the archive and back: nothing is called archived before its receipt was read."""

from __future__ import annotations

import dataclasses
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from app.desk.archive.courier import OTHER_HISTORY, Parcel
from app.desk.view import Refusal
from app.jobstore.archive import Answer, Archive, ArchiveProblem, Asked
from app.record import receipt
from app.record.canonical import digest
from app.record.trust import NOBODY
from tests.app.desk.archive.conftest import Office, carry
from tests.app.desk.making import Seat
from tests.app.record.signed_scene import revision_of, trust

SPECIMENS = Path(__file__).resolve().parents[3] / "specimens"


def test_what_is_issued_waits_until_its_receipt_came(approver: Seat, issued: Path, office: Office) -> None:
    (line,) = approver.desk.archive_queue()
    assert not line.archived

    assert len(carry(approver)) == 1
    taken = office.intake(approver.desk.trust()).run()
    assert (taken.filed_count, taken.refusals) == (1, ())

    assert carry(approver) == []
    (line,) = approver.desk.archive_queue(all_of_them=True)
    assert line.archived
    assert line.state_text.startswith("Archived on ")


def test_the_receipt_stands_in_the_trail_and_can_be_read_there(
    approver: Seat, issued: Path, office: Office
) -> None:
    carry(approver)
    office.intake(approver.desk.trust()).run()
    carry(approver)

    (line,) = approver.desk.archive_queue(all_of_them=True)
    acts = [event.act for event in approver.desk.store.events(line.job_id) if event.act.kind == "archived"]
    assert len(acts) == 1
    assert any("archived" in row.what_text for row in approver.desk.trail(line.job_id))


def test_sending_again_is_harmless(approver: Seat, issued: Path, office: Office) -> None:
    for _ in range(3):
        carry(approver)
    assert office.archive.waiting_count() == 1
    office.intake(approver.desk.trust()).run()
    carry(approver)
    assert office.archive.size() == 1
    assert len(office.archive.search(Asked()).hits) == 1


def test_what_is_found_in_the_archive_is_the_pack_that_was_issued(
    approver: Seat, issued: Path, office: Office
) -> None:
    carry(approver)
    office.intake(approver.desk.trust()).run()

    (hit,) = office.archive.search(Asked()).hits
    assert office.archive.packed(hit.filed.record_digest) == issued.read_bytes()


def test_a_pack_by_people_unknown_to_the_office_is_refused_in_words_and_asked_again(
    approver: Seat, issued: Path, office: Office
) -> None:
    carry(approver)
    taken = office.intake(NOBODY).run()
    assert len(taken.refusals) == 1

    (line,) = carry(approver)
    assert "vouches" in line.state_text
    assert office.intake(approver.desk.trust()).run().filed_count == 0
    assert office.intake(approver.desk.trust()).run(again=True).filed_count == 1
    assert carry(approver) == []


def test_a_handed_in_job_and_a_draft_are_passed_on_and_rubbish_is_refused(
    approver: Seat, issued: Path, office: Office, tmp_path: Path
) -> None:
    from tests.app.desk.stages import HANDED_IN

    (line,) = approver.desk.archive_queue()
    draft = approver.desk.export_job(line.job_id, tmp_path / "draft.json").read_bytes()
    handed = next(path for path in tmp_path.rglob(HANDED_IN)).read_bytes()
    job = (SPECIMENS / "draft_form_1.json").read_bytes()
    for data in (draft, job, handed, b"rubbish", issued.read_bytes()[:5000], b"%PDF-1.7 alone"):
        office.archive.deposit(data, device_text="laptop", at=office.clock())

    passed: list[str] = []
    intake = office.intake(approver.desk.trust(), pass_on=lambda one: passed.append(one.digest_hex))
    taken = intake.run()
    assert (taken.filed_count, taken.passed_on_count, len(taken.refusals)) == (0, 3, 3)
    assert passed == [digest(data) for data in (draft, job, handed)]
    assert all(sentence.startswith("laptop: ") for sentence in taken.refusals)


def test_a_pack_that_is_damaged_here_is_said_to_be_so_and_holds_nobody_up(
    approver: Seat, issued: Path, office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    (line,) = approver.desk.archive_queue()
    missing = dataclasses.replace(line, pack_digest="0" * 64, revision=2)
    monkeypatch.setattr(type(approver.desk), "archive_queue", lambda _self: [missing, line])

    held = approver.desk.archive_round()
    assert held is not None
    assert held.lines == (line,)
    (said,) = [event.act for event in approver.store.events(line.job_id) if event.act.kind == "not_archived"]
    assert said.to == {"sentence_text": "The pack of revision 2 is missing from the store."}


def test_a_laptop_whose_clock_is_years_ahead_arrives_when_the_office_says_so(
    approver: Seat, issued: Path, office: Office
) -> None:
    now = office.clock.now
    office.clock.now = now + timedelta(days=4000)
    carry(approver)
    office.clock.now = now
    assert office.intake(approver.desk.trust()).run().filed_count == 1
    carry(approver)

    (line,) = approver.desk.archive_queue(all_of_them=True)
    assert line.state_text.startswith(f"Archived on {now.date().isoformat()}")


def test_a_receipt_of_another_record_does_not_count(approver: Seat, issued: Path, office: Office) -> None:
    carry(approver)
    office.intake(approver.desk.trust()).run()
    (line,) = approver.desk.archive_queue()
    parcel = approver.desk.parcel_of(line)

    (told,) = approver.desk.courier().carry([Parcel(data=parcel.data, record_digest="0" * 64)])
    assert told.state == "waiting"
    assert "another record" in told.sentence_text


def test_a_receipt_by_an_archive_nobody_knows_does_not_count(
    approver: Seat, issued: Path, office: Office
) -> None:
    carry(approver)
    office.intake(approver.desk.trust()).run()
    (approver.desk.trust_folder / "archive-office.pem").unlink()

    (line,) = carry(approver)
    assert not line.archived


def test_a_root_that_the_records_do_not_make_does_not_count(
    approver: Seat, issued: Path, office: Office
) -> None:
    carry(approver)
    (waiting,) = office.archive.waiting()
    forged = receipt.Receipt(
        archive_id=office.archive.archive_id,
        record_digest=approver.desk.parcel_of(approver.desk.archive_queue()[0]).record_digest or "",
        deposit_digest=waiting.digest_hex,
        leaf_no=0,
        tree_size=1,
        root="0" * 64,
        arrived_at_utc="2031-06-01T09:00:00Z",
    )
    data, signature = receipt.sign(forged, office.key, at=office.clock())
    office.archive.say(
        Answer(
            digest_hex=waiting.digest_hex, outcome="filed", sentence_text="", at_utc="", leaf_no=0,
            record_digest=forged.record_digest, receipt=data, receipt_signature=signature,
        )
    )  # fmt: skip

    assert not carry(approver)[0].archived


def test_an_archive_that_lost_records_shows_another_history(
    approver: Seat, issued: Path, office: Office
) -> None:
    carry(approver)
    office.intake(approver.desk.trust()).run()
    carry(approver)
    with office.archive._engine.begin() as connection:
        disarmed = "ALTER TABLE answer DISABLE TRIGGER USER"
        sqlite = connection.dialect.name == "sqlite"
        connection.execute(text("DROP TRIGGER answer_no_delete" if sqlite else disarmed))
        connection.execute(text("DELETE FROM answer"))

    with pytest.raises(ArchiveProblem, match="different history") as caught:
        approver.desk.courier().carry([])
    assert caught.value.sentence == OTHER_HISTORY


def test_another_archive_in_its_place_shows_another_history(
    approver: Seat, issued: Path, office: Office, tmp_path: Path
) -> None:
    carry(approver)
    other = tmp_path / "other.sqlite"
    Archive.open(str(other)).close()
    approver.desk.settings.change(archive_place_text=str(other))

    with pytest.raises(ArchiveProblem, match="different history"):
        approver.desk.courier().carry([])


def test_without_an_archive_it_is_said_that_everything_is_kept(approver: Seat, issued: Path) -> None:
    with pytest.raises(Refusal, match=r"^Everything is kept here"):
        approver.desk.courier()


def test_sheets_are_checked_after_they_were_filed(approver: Seat, issued: Path, office: Office) -> None:
    carry(approver)
    intake = office.intake(approver.desk.trust())
    intake.run()

    assert office.archive.sheets_unchecked() != []
    assert intake.check_sheets() == []
    assert office.archive.sheets_unchecked() == []


def test_a_run_stops_where_it_is_told_to_and_goes_on_later(office: Office) -> None:
    for its in (revision_of(), revision_of("1043")):
        office.archive.deposit(its.packed, device_text="laptop", at=office.clock())

    assert office.intake(trust()).run(stop=lambda: True).stopped
    assert office.intake(trust()).run().filed_count == 2
    assert office.archive.line(digest(revision_of().record)).number_text == "1042"


def test_an_archive_of_another_form_or_without_tables_says_so(
    approver: Seat, issued: Path, office: Office
) -> None:
    def set_form(form: str) -> None:
        with office.archive._engine.begin() as connection:
            connection.execute(text("UPDATE alembic_version SET version_num = :form"), {"form": form})

    set_form("9999")
    with pytest.raises(ArchiveProblem, match=r"kept and waits.*is newer than this program"):
        carry(approver)
    set_form("0001")
    assert len(carry(approver)) == 1
    assert approver.desk.archive_round() is not None


def test_a_round_takes_some_of_a_long_queue_and_goes_on_behind_them(
    approver: Seat, issued: Path, office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    (line,) = approver.desk.archive_queue()
    many = [dataclasses.replace(line, number_text=str(number)) for number in range(30)]
    monkeypatch.setattr(type(approver.desk), "archive_queue", lambda _self: many)

    first, second, third = (approver.desk.archive_round(passed) for passed in (0, 20, 40))

    assert [len(one.lines) for one in (first, second, third) if one is not None] == [20, 10, 20]
    assert second is not None
    assert second.lines[0].number_text == "20"
