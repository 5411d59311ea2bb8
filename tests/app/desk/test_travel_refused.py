"""What is refused on the way between two computers: altered files, other records, late answers."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from app.desk import Refusal
from app.exchange import signedfile
from app.exchange.problem import JobFileProblem
from app.record import pack, signed_job, trail
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Clock, Seat, decide_all


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
