"""A job between two computers: handed in, sent back, handed in again, approved, issued, and back."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.chains import StorePapers
from app.record import trail
from app.record.canonical import digest
from app.record.revision import from_bytes
from app.record.sheet_reading import read
from app.record.verify import verify_path
from ctcore.job import METHOD_ROW
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Seat


def test_a_job_handed_in_says_with_whom_it_is(tester: Seat, handed_in: tuple[str, Path]) -> None:
    view = tester.desk.view(handed_in[0])

    assert view.away_text.startswith("with M. Oskarrin since 4 May 2031 08:00:")
    assert view.read_only_reason == f"This job is {view.away_text}. Here you can look, not write."
    assert [line.signed for line in view.revisions] == [True]


def test_what_arrives_is_the_record_that_left(tester: Seat, approver: Seat, waiting: str) -> None:
    sent, arrived = (seat.store.revisions(waiting)[0] for seat in (tester, approver))

    assert sent.record_bytes == arrived.record_bytes
    assert approver.store.load(waiting).readings == tester.store.load(waiting).readings
    assert approver.store.load(waiting).state == "handed_in"


def test_taking_the_same_file_in_twice_changes_nothing(
    approver: Seat, waiting: str, handed_in: tuple[str, Path]
) -> None:
    before = len(approver.store.events())
    approver.desk.take_in(handed_in[1])

    assert len(approver.store.events()) == before


def test_what_goes_back_says_why_line_by_line(tester: Seat, waiting: str, sent_back: Path) -> None:
    change = tester.desk.take_in(sent_back)

    assert change.note_text == "M. Oskarrin answered: sent back."
    assert (change.view.job.state, change.view.read_only_reason) == ("sent_back", None)
    (line,) = tester.desk.exceptions(waiting)
    assert (line.decision, line.reason_text, line.person_id) == ("sent_back", "clean link 7", "m-oskarrin")
    assert [remark.text for remark in change.view.job.remarks] == ["Measure on the CT's own terminals."]
    assert "M. Oskarrin" in {person.name_text for person in change.view.job.people}


def test_the_approver_cannot_write_in_what_was_sent_back(
    approver: Seat, waiting: str, sent_back: Path
) -> None:
    with pytest.raises(Refusal, match=r"with T\. Adder since"):
        approver.desk.key(waiting, making.ohms_cell(approver.desk, waiting), "2.0")


def test_the_event_that_takes_an_answer_in_names_both_heads(
    tester: Seat, approver: Seat, waiting: str, sent_back: Path
) -> None:
    foreign = approver.store.heads()[0]
    tester.desk.take_in(sent_back)

    answer = tester.store.events(waiting)[-1]
    assert answer.act.kind == "answer"
    assert [foreign.device_id, foreign.n, foreign.head] in answer.act.where["heads"]
    assert answer.prev == tester.store.events(waiting)[-2].head


def test_events_of_the_other_computer_are_kept_as_they_came(
    tester: Seat, approver: Seat, waiting: str, sent_back: Path
) -> None:
    tester.desk.take_in(sent_back)
    theirs = approver.store.events(waiting)

    kept = {event.head: event for event in tester.desk._events_of(waiting)}
    assert [kept.get(event.head) for event in theirs] == theirs
    trail.demand_fitting(theirs, tester.desk.chain_heads(waiting))


def test_a_retest_after_sending_back_is_taken_in_as_the_next_revision(
    tester: Seat, approver: Seat, waiting: str, sent_back: Path, tmp_path: Path
) -> None:
    tester.desk.take_in(sent_back)
    hand_in_again(tester, waiting, tmp_path / "again")
    change = approver.desk.take_in(tmp_path / "again")

    first, second = change.view.revisions
    record = from_bytes(approver.store.revisions(waiting)[1].record_bytes)
    assert (second.revision, second.signed, record.replaces_digest) == (2, True, first.digest_hex)
    assert second.reason_text.startswith("Nearly there.\nLine side L1 core 1, resistance: clean link 7")
    assert {head.device_id for head in record.heads} == {tester.store.device_id, approver.store.device_id}
    assert approver.desk.exceptions(waiting) == ()
    assert approver.store.load(waiting).readings == tester.store.load(waiting).readings


def hand_in_again(seat: Seat, job_id: str, path: Path) -> None:
    address = making.ohms_cell(seat.desk, job_id, 2)
    seat.desk.new_take(job_id, address.core_id, "resistance", "link cleaned")
    method = {"leads": "four-wire", "t_winding_degc": "20", "t_winding_source": "surface probe"}
    entries = [
        (making.Address(address.core_id, "resistance", 2, METHOD_ROW, name), text)
        for name, text in method.items()
    ]
    seat.desk.key_many(job_id, [*entries, (address, "2.10")])
    (asked,) = seat.desk.view(job_id).job.remarks
    (read,) = (one for one in seat.desk.view(job_id).job.readings if one.as_typed_text == "2.10")
    seat.desk.answer_comment(job_id, asked.remark_id, "retest", "on its own terminals", read.reading_id)
    seat.desk.hand_in(job_id, PASSPHRASE, APPROVER, path)


def test_the_whole_way_ends_with_the_same_sheet_on_both_computers(
    tester: Seat, approver: Seat, waiting: str, issued: Path, tmp_path: Path
) -> None:
    change = tester.desk.take_in(issued)
    sheets = [
        seat.desk.sheet(waiting, tmp_path / f"{name}.pdf").read_bytes()
        for seat, name in ((tester, "field"), (approver, "office"))
    ]

    assert change.view.job.state == "issued"
    assert sheets[0] == sheets[1]
    signed = read(sheets[0])
    assert [one.signature.certificate.name_text for one in signed.signatures] == ["T. Adder", "M. Oskarrin"]
    assert signed.texts["ApprovalDecision"] == "approved with concessions"
    assert signed.texts["ApprovalConcessions"] == (
        "1. Line side L1 core 1, resistance: lead known; holds until the next outage (M. Oskarrin)"
    )
    assert digest(signed.attached["record.json"]) == change.view.revisions[-1].digest_hex


@pytest.mark.parametrize("place", ["tester", "approver"])
def test_everything_at_the_end_is_genuine(
    place: str, tester: Seat, approver: Seat, waiting: str, issued: Path, tmp_path: Path
) -> None:
    tester.desk.take_in(issued)
    seat = {"tester": tester, "approver": approver}[place]
    sheet = seat.desk.sheet(waiting, tmp_path / "sheet.pdf")
    trust, store = seat.desk.trust(), StorePapers(seat.store)

    paths = (sheet, issued, seat.folder / "jobs.coreleaf")
    assert [verify_path(path, trust=trust, store=store).outcome for path in paths] == ["genuine"] * 3


def test_a_sheet_can_be_read_by_what_reads_pdf(
    tester: Seat, waiting: str, issued: Path, tmp_path: Path
) -> None:
    pdf = pytest.importorskip("pyhanko.pdf_utils.reader")
    tester.desk.take_in(issued)
    path = tester.desk.sheet(waiting, tmp_path / "sheet.pdf")
    with path.open("rb") as stream:
        assert int(pdf.PdfFileReader(stream).root["/Pages"]["/Count"]) >= 1


def test_without_a_line_to_decide_the_job_is_plainly_approved(
    tester: Seat, approver: Seat, tmp_path: Path
) -> None:
    job_id = making.complete_job(tester.desk)
    tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, tmp_path / "in")
    approver.desk.take_in(tmp_path / "in")
    approver.desk.approve(job_id, PASSPHRASE)
    sheet = approver.desk.sheet(job_id, tmp_path / "sheet.pdf").read_bytes()

    assert read(sheet).texts["ApprovalDecision"] == "approved"


def test_an_issued_job_can_be_superseded_and_revised_by_nobody_after(
    approver: Seat, waiting: str, issued: Path
) -> None:
    change = approver.desk.supersede(waiting, "sheet 78")

    assert change.view.job.state == "superseded"
    with pytest.raises(Refusal, match="the job is superseded"):
        approver.desk.revise(waiting, "again")


def test_a_job_taken_back_refuses_the_answer_that_still_comes(
    tester: Seat, waiting: str, sent_back: Path
) -> None:
    change = tester.desk.take_back(waiting, "forgot a tap")

    assert (change.view.job.state, change.view.read_only_reason) == ("being_tested", None)
    with pytest.raises(Refusal, match="No answer is waited for: the job is being tested"):
        tester.desk.take_in(sent_back)


def test_a_plain_job_file_is_taken_in_as_ever(tester: Seat, approver: Seat, tmp_path: Path) -> None:
    job_id = making.complete_job(tester.desk)
    path = tester.desk.export_job(job_id, tmp_path / "job.json")

    assert approver.desk.take_in(path).view.job == tester.desk.view(job_id).job
