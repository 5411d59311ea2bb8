"""A job between two computers: handed in, sent back, handed in again, approved, issued, and back."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.chains import StorePapers
from app.exchange import signedfile
from app.exchange.problem import JobFileProblem
from app.record import pack, signed_job, trail
from app.record.canonical import digest
from app.record.revision import from_bytes
from app.record.sheet_reading import read
from app.record.verify import verify_path
from ctcore.job import METHOD_ROW
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Clock, Seat


def decide_all(seat: Seat, job_id: str, decision: str, reason_text: str, valid_text: str = "a year") -> None:
    keys = [line.key for line in seat.desk.exceptions(job_id)]
    seat.desk.decide(job_id, keys, decision, reason_text, valid_text)  # type: ignore[arg-type]


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


def test_both_people_may_sit_at_one_computer(tester: Seat, keys: Path) -> None:
    job_id = making.complete_job(tester.desk, ohms="2.90")
    tester.desk.hand_in(job_id, PASSPHRASE, APPROVER)
    tester.desk.settings.change(person_id="m-oskarrin", person_name_text=APPROVER)
    decide_all(tester, job_id, "concession", "lead known")
    tester.desk.approve(job_id, PASSPHRASE)

    assert tester.desk.issue(job_id, PASSPHRASE).view.job.state == "issued"


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


# What is refused


def test_a_wrong_passphrase_signs_nothing_and_changes_nothing(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    with pytest.raises(Refusal, match=r"The passphrase does not fit\. Nothing was signed"):
        tester.desk.hand_in(job_id, "four other words here", APPROVER)

    assert tester.store.load(job_id).state == "being_tested"
    assert tester.store.revisions(job_id) == []


def test_a_person_without_a_key_is_told_to_make_one(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    tester.desk.settings.change(person_id="somebody", person_name_text="S. Body")
    with pytest.raises(Refusal, match="You have no key here yet"):
        tester.desk.hand_in(job_id, PASSPHRASE, APPROVER)


def test_handing_in_names_who_and_to_whom(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    with pytest.raises(Refusal, match="Say first whom the job goes to"):
        tester.desk.hand_in(job_id, PASSPHRASE, " ")
    tester.desk.settings.change(person_name_text="")
    with pytest.raises(Refusal, match="Say first who you are"):
        tester.desk.hand_in(job_id, PASSPHRASE, APPROVER)


def test_a_certificate_unknown_here_is_refused_until_its_fingerprint_was_compared(
    approver: Seat, handed_in: tuple[str, Path]
) -> None:
    _, path = handed_in
    line = approver.desk.signer_of(path)
    (approver.desk.trust_folder / f"{line.fingerprint[:16]}.pem").unlink()

    with pytest.raises(Refusal, match=r"Nobody known here vouches for the key of T\. Adder"):
        approver.desk.take_in(path)
    with pytest.raises(Refusal, match="The fingerprint is not that of who signed"):
        approver.desk.believe_signer(path, "00" * 32)
    approver.desk.believe_signer(path, line.fingerprint_groups)
    assert "was taken in" in approver.desk.take_in(path).note_text


def test_who_tested_cannot_take_the_own_job_in_to_decide_it(
    tester: Seat, handed_in: tuple[str, Path]
) -> None:
    with pytest.raises(Refusal, match="You tested this job yourself"):
        tester.desk.take_in(handed_in[1])


@pytest.mark.parametrize("verb", ["approve", "send_back", "issue"])
def test_one_person_does_not_decide_about_the_own_job(
    verb: str, tester: Seat, handed_in: tuple[str, Path]
) -> None:
    with pytest.raises(Refusal):
        getattr(tester.desk, verb)(handed_in[0], PASSPHRASE)


def test_one_key_under_two_names_is_still_one_person(tester: Seat, handed_in: tuple[str, Path]) -> None:
    """The number in the settings is easily changed; the key is what counts."""
    folder = tester.desk.key_folder
    (folder / "m-oskarrin.pem").write_bytes((folder / "t-adder.pem").read_bytes())
    tester.desk.settings.change(person_id="m-oskarrin", person_name_text=APPROVER)
    decide_all(tester, handed_in[0], "concession", "lead known")
    with pytest.raises(Refusal, match="for another key"):
        tester.desk.approve(handed_in[0], PASSPHRASE)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda files: {**files, "record.json": flipped(files["record.json"])}, "record"),
        (lambda files: {**files, "record.p7s": flipped(files["record.p7s"])}, "signature"),
        (lambda files: {**files, "events.json": flipped(files["events.json"])}, "event|trail"),
        (lambda files: {**files, "more": ""}, "damaged"),
    ],
)
def test_a_file_altered_on_the_way_is_refused_in_one_sentence(
    change: Callable[[dict[str, str]], dict[str, str]],
    sentence: str,
    approver: Seat,
    handed_in: tuple[str, Path],
) -> None:
    path = handed_in[1]
    structure = json.loads(path.read_bytes())
    structure["files"] = change(structure["files"])
    path.write_bytes(json.dumps(structure, sort_keys=True, separators=(",", ":")).encode())

    with pytest.raises(Refusal, match=rf"(?i){sentence}") as refused:
        approver.desk.take_in(path)
    assert refused.value.sentence.endswith("Nothing was taken in.") or "damaged" in refused.value.sentence
    assert approver.desk.jobs() == []


def flipped(text: str) -> str:
    data = bytearray(base64.b64decode(text))
    data[len(data) // 2] ^= 1
    return base64.b64encode(bytes(data)).decode()


def test_decisions_that_were_changed_on_the_way_back_are_refused(
    tester: Seat, waiting: str, sent_back: Path
) -> None:
    job = signed_job.from_bytes(sent_back.read_bytes())
    assert job.events is not None
    kept = [one for one in trail.from_bytes(job.events) if one.act.kind != "decision"]
    import dataclasses

    sent_back.write_bytes(signed_job.to_bytes(dataclasses.replace(job, events=trail.to_bytes(kept))))

    with pytest.raises(Refusal, match="The decisions that came along are not those that were signed"):
        tester.desk.take_in(sent_back)
    assert tester.store.load(waiting).state == "handed_in"


def test_an_answer_about_another_job_is_refused(
    tmp_path: Path, keys: Path, clock: Clock, sent_back: Path, issued_elsewhere: Path
) -> None:
    third = making.seat(tmp_path / "third", making.TESTER, clock, keys)
    for path in (sent_back, issued_elsewhere):
        with pytest.raises(Refusal, match="about a job that is not here"):
            third.desk.take_in(path)
    third.close()


@pytest.fixture
def issued_elsewhere(tester: Seat, approver: Seat, tmp_path: Path) -> Path:
    job_id = making.complete_job(tester.desk)
    tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, tmp_path / "other")
    approver.desk.take_in(tmp_path / "other")
    approver.desk.approve(job_id, PASSPHRASE)
    approver.desk.issue(job_id, PASSPHRASE, tmp_path / "other.zip")
    return tmp_path / "other.zip"


def test_another_record_of_the_same_revision_is_refused(
    tester: Seat, approver: Seat, waiting: str, tmp_path: Path
) -> None:
    twin = tester.store.load(waiting)
    tester.desk.take_back(waiting, "forgot a tap")
    tester.desk.hand_in(waiting, PASSPHRASE, APPROVER, tmp_path / "second")
    tester.desk.take_back(waiting, "and another")
    tester.desk.hand_in(waiting, PASSPHRASE, APPROVER, tmp_path / "third")

    with pytest.raises(Refusal, match="revision 3; revision 1 is here, so 2 would be the next"):
        approver.desk.take_in(tmp_path / "third")
    assert approver.store.load(waiting).readings == twin.readings


def test_a_frozen_job_without_signature_is_not_approved(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    tester.desk.freeze(job_id)
    tester.desk.settings.change(person_id="m-oskarrin", person_name_text=APPROVER)

    with pytest.raises(Refusal, match="was frozen without a signature; hand it in signed"):
        tester.desk.approve(job_id, PASSPHRASE)
    with pytest.raises(Refusal, match="not signed yet"):
        tester.desk.write_signed_file(job_id, tester.folder / "never")


def test_concessions_that_do_not_fit_on_the_sheet_sign_nothing(approver: Seat, waiting: str) -> None:
    decide_all(approver, waiting, "concession", "because " * 200)
    with pytest.raises(Refusal, match="do not fit into their place on the sheet"):
        approver.desk.approve(waiting, PASSPHRASE)

    assert approver.store.load(waiting).state == "handed_in"


def test_nothing_is_sent_back_without_a_line_that_goes_back(approver: Seat, waiting: str) -> None:
    with pytest.raises(Refusal, match="no line is decided to be sent back"):
        approver.desk.send_back(waiting, PASSPHRASE)


def test_taking_back_has_a_reason(tester: Seat, handed_in: tuple[str, Path]) -> None:
    with pytest.raises(Refusal, match="with a reason"):
        tester.desk.take_back(handed_in[0], " ")


def test_a_file_that_cannot_be_read_says_so(tester: Seat, tmp_path: Path) -> None:
    with pytest.raises(JobFileProblem, match="cannot be read"):
        tester.desk.take_in(tmp_path / "nowhere")


def test_a_file_of_endless_size_is_not_read(
    tester: Seat, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(signedfile, "LARGEST_BYTES", 1024 * 1024)
    (tmp_path / "large").write_bytes(b"{" * (1024 * 1024 + 1))
    with pytest.raises(JobFileProblem, match="is larger than 1 MB"):
        tester.desk.take_in(tmp_path / "large")


def test_a_pack_that_is_no_pack_is_refused(tester: Seat, tmp_path: Path) -> None:
    (tmp_path / "bad.zip").write_bytes(pack.ZIP_MARK + b"nothing")
    with pytest.raises(Refusal, match="damaged"):
        tester.desk.take_in(tmp_path / "bad.zip")


def test_a_store_for_reading_only_takes_no_step(approver: Seat, waiting: str, sent_back: Path) -> None:
    approver.store.read_only_reason = "This store was opened for reading only."
    (line,) = approver.desk.exceptions(waiting)

    for act in (
        lambda: approver.desk.take_in(sent_back),
        lambda: approver.desk.decide(waiting, line.key, "concession", "x", "until the next outage"),
        lambda: approver.desk.comment(waiting, line.key, "x"),
        lambda: approver.desk.approve(waiting, PASSPHRASE),
    ):
        with pytest.raises(Refusal, match="for reading only"):
            act()


def test_a_sheet_that_is_gone_is_not_countersigned(approver: Seat, handed_in: tuple[str, Path]) -> None:
    job_id, path = handed_in
    import dataclasses

    job = signed_job.from_bytes(path.read_bytes())
    path.write_bytes(signed_job.to_bytes(dataclasses.replace(job, sheet=None)))
    approver.desk.take_in(path)
    decide_all(approver, job_id, "concession", "lead known")

    with pytest.raises(Refusal, match="the sheet that the tester signed is missing"):
        approver.desk.approve(job_id, PASSPHRASE)


def test_the_other_record_under_a_known_number_is_refused(
    tester: Seat, approver: Seat, waiting: str, sent_back: Path, tmp_path: Path, keys: Path, clock: Clock
) -> None:
    """Two computers of one tester went on from the same revision."""
    twin = making.seat(tmp_path / "twin", making.TESTER, clock, keys)
    twin.desk.import_job(tester.desk.export_job(waiting, tmp_path / "copy.json"))
    twin.desk.revise(waiting, "from the copy")
    twin.desk.hand_in(waiting, PASSPHRASE, APPROVER, tmp_path / "twin-file")
    twin.close()

    with pytest.raises(Refusal, match="Revision 1 of this job is here already and says something else"):
        approver.desk.take_in(tmp_path / "twin-file")


def test_a_pack_that_went_from_the_store_is_missed(approver: Seat, waiting: str, issued: Path) -> None:
    from app.desk.chains import papers_of
    from app.desk.journey import Journey
    from app.record.problem import Altered, CannotTell

    (stored,) = approver.store.revisions(waiting)
    with pytest.raises(CannotTell, match="is missing from the store"):
        papers_of(approver.store, waiting, stored, Journey(packs={1: "00"}))
    import dataclasses

    with pytest.raises(Altered, match="that of another record"):
        papers_of(approver.store, waiting, dataclasses.replace(stored, record_bytes=b"{}"))


def test_the_sheet_of_another_record_is_refused(
    tester: Seat, approver: Seat, handed_in: tuple[str, Path], tmp_path: Path
) -> None:
    import dataclasses

    other_id = making.complete_job(tester.desk)
    tester.desk.hand_in(other_id, PASSPHRASE, APPROVER, tmp_path / "other")
    other = signed_job.from_bytes((tmp_path / "other").read_bytes())
    swapped = dataclasses.replace(signed_job.from_bytes(handed_in[1].read_bytes()), sheet=other.sheet)
    handed_in[1].write_bytes(signed_job.to_bytes(swapped))

    with pytest.raises(Refusal, match="The sheet that came along is that of another record"):
        approver.desk.take_in(handed_in[1])
    assert approver.desk.jobs() == []


def test_an_altered_sheet_is_refused(approver: Seat, handed_in: tuple[str, Path]) -> None:
    import dataclasses

    job = signed_job.from_bytes(handed_in[1].read_bytes())
    assert job.sheet is not None
    sheet = bytearray(job.sheet)
    sheet[len(sheet) // 3] ^= 1
    handed_in[1].write_bytes(signed_job.to_bytes(dataclasses.replace(job, sheet=bytes(sheet))))

    with pytest.raises(Refusal, match="The sheet no longer matches its signature"):
        approver.desk.take_in(handed_in[1])


def test_a_file_that_cannot_be_written_leaves_the_job_signed_to_be_written_again(
    tester: Seat, tmp_path: Path
) -> None:
    job_id = making.complete_job(tester.desk)
    with pytest.raises(JobFileProblem, match="cannot be written"):
        tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, tmp_path / "nowhere" / "file")

    assert tester.store.load(job_id).state == "handed_in"
    assert tester.desk.write_signed_file(job_id, tmp_path / "file").stat().st_size > 0


def test_an_answer_about_an_earlier_revision_is_refused(
    tester: Seat, waiting: str, sent_back: Path, tmp_path: Path
) -> None:
    tester.desk.take_back(waiting, "forgot a tap")
    tester.desk.hand_in(waiting, PASSPHRASE, APPROVER)

    with pytest.raises(Refusal, match="about revision 1, which is not the last one here"):
        tester.desk.take_in(sent_back)


def test_a_new_revision_is_not_taken_in_over_an_approval(
    tester: Seat, approver: Seat, waiting: str, tmp_path: Path
) -> None:
    decide_all(approver, waiting, "concession", "lead known")
    approver.desk.approve(waiting, PASSPHRASE)
    tester.desk.take_back(waiting, "forgot a tap")
    tester.desk.hand_in(waiting, PASSPHRASE, APPROVER, tmp_path / "second")

    with pytest.raises(Refusal, match="The job is approved here"):
        approver.desk.take_in(tmp_path / "second")


def test_an_answer_that_the_tester_made_alone_is_refused(
    tester: Seat, handed_in: tuple[str, Path], tmp_path: Path, clock: Clock
) -> None:
    """A program of ours makes no such answer; somebody else's might."""
    import dataclasses

    from app.desk.approval_texts import sent_back_text
    from app.record import cms
    from app.record.canonical import canonical

    job_id, path = handed_in
    job = signed_job.from_bytes(path.read_bytes())
    key = tester.desk._unlocked(PASSPHRASE)
    answer = canonical(
        {
            "format": "coreleaf-sent-back",
            "version": 1,
            "record_digest": digest(job.record),
            "revision": 1,
            "reason_text": sent_back_text(tester.desk.view(job_id).job, [], "to myself"),
            "person_id": "t-adder",
            "name_text": "T. Adder",
            "at_utc": "2031-05-04T09:00:00Z",
        }
    )
    signature = cms.sign(answer, key, meaning="sent back", at=clock())
    alone = dataclasses.replace(job, sent_back=answer, sent_back_signature=signature)
    path.write_bytes(signed_job.to_bytes(alone))

    with pytest.raises(Refusal, match=r"one person|same person"):
        tester.desk.take_in(path)
    assert tester.store.load(job_id).state == "handed_in"
