"""Who may take which step with a job on its way: keys, passphrases, two people, reasons."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk import Refusal
from app.record import signed_job
from app.record.canonical import digest
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Clock, Seat, decide_all


def test_both_people_may_sit_at_one_computer(tester: Seat, keys: Path) -> None:
    job_id = making.complete_job(tester.desk, ohms="2.90")
    tester.desk.hand_in(job_id, PASSPHRASE, APPROVER)
    tester.desk.settings.change(person_id="m-oskarrin", person_name_text=APPROVER)
    decide_all(tester, job_id, "concession", "lead known")
    tester.desk.approve(job_id, PASSPHRASE)

    assert tester.desk.issue(job_id, PASSPHRASE).view.job.state == "issued"


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
