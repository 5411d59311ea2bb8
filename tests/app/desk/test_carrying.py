"""Photographs and certificates travel with the job, are proved where it arrives, and are missed in words."""

from __future__ import annotations

import base64
import dataclasses
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from app.desk import Refusal
from app.jobstore import StoreProblem, attachments
from app.record import carried, pack, signed_job
from app.record.verify import verify_path
from tests.app.desk import making
from tests.app.desk.making import APPROVER, PASSPHRASE, Seat
from tests.app.exchange.test_pictures import jpeg

PHOTO, PLAN = jpeg(640, 480), b"%PDF-1.7 a certificate"


@pytest.fixture
def sent(tester: Seat, tmp_path: Path) -> tuple[str, Path]:
    """A job with a photograph on a core and a certificate, handed in: its id and the file that travels."""
    job_id = making.complete_job(tester.desk)
    core_id = tester.desk.view(job_id).job.positions[0].cts[0].cores[0].core_id
    for name, data, where in (("plate.jpg", PHOTO, core_id), ("paper.pdf", PLAN, "")):
        (tmp_path / name).write_bytes(data)
        tester.desk.attach(job_id, tmp_path / name, core_id=where)
    path = tmp_path / "travels.json"
    tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, path)
    return job_id, path


def rewritten(path: Path, change: Callable[[dict[str, str]], None]) -> None:
    structure = json.loads(path.read_bytes())
    change(structure["files"])
    path.write_bytes(json.dumps(structure, sort_keys=True, separators=(",", ":")).encode())


def photo_name(seat: Seat, job_id: str) -> str:
    return carried.name_of(seat.desk.view(job_id).job.attached[0])


def test_what_was_attached_arrives_with_its_bytes_and_its_place(
    tester: Seat, approver: Seat, sent: tuple[str, Path]
) -> None:
    job_id, path = sent
    change = approver.desk.take_in(path)
    photo, plan = change.view.job.attached
    assert approver.desk.attached_bytes(job_id, photo) == PHOTO
    assert approver.desk.attached_bytes(job_id, plan) == PLAN
    kept = {one.name_text: one.core_id for one in approver.store.attachments(job_id)}
    assert (kept["plate.jpg"], "did not come along" in change.note_text) == (photo.core_id, False)


def test_taking_the_file_in_again_attaches_nothing_twice(approver: Seat, sent: tuple[str, Path]) -> None:
    approver.desk.take_in(sent[1])
    before = len(approver.store.attachments(sent[0]))
    approver.desk.take_in(sent[1])
    assert len(approver.store.attachments(sent[0])) == before


def test_an_attached_file_that_was_altered_on_the_way_is_named_and_nothing_is_taken_in(
    tester: Seat, approver: Seat, sent: tuple[str, Path]
) -> None:
    name = photo_name(tester, sent[0])
    rewritten(sent[1], lambda files: files.update({name: base64.b64encode(jpeg(641, 480)).decode()}))
    with pytest.raises(Refusal, match=r"The attached file plate\.jpg is not the one that was signed"):
        approver.desk.take_in(sent[1])
    assert approver.desk.jobs() == []


def test_an_attached_file_that_the_record_does_not_name_is_refused(
    approver: Seat, sent: tuple[str, Path]
) -> None:
    strange = f"attached/{'0' * 64}.jpg"
    rewritten(sent[1], lambda files: files.update({strange: "AAAA"}))
    with pytest.raises(Refusal, match="is not named in the record"):
        approver.desk.take_in(sent[1])


def test_an_attached_file_that_is_missing_is_named_and_the_job_is_taken_in(
    tester: Seat, approver: Seat, sent: tuple[str, Path]
) -> None:
    job_id, path = sent
    rewritten(path, lambda files: files.pop(photo_name(tester, job_id)))
    change = approver.desk.take_in(path)
    assert "Attached files that did not come along: plate.jpg (not in the file)." in change.note_text
    with pytest.raises(StoreProblem, match=r"plate\.jpg did not come along with this job"):
        approver.desk.attached_bytes(job_id, change.view.job.attached[0])


def test_a_file_made_before_attached_files_travelled_is_still_taken_in(
    approver: Seat, sent: tuple[str, Path]
) -> None:
    job = signed_job.from_bytes(sent[1].read_bytes())
    sent[1].write_bytes(signed_job.to_bytes(dataclasses.replace(job, attached={})))
    assert (
        "plate.jpg (not in the file), paper.pdf (not in the file)" in approver.desk.take_in(sent[1]).note_text
    )


def test_a_file_that_went_from_the_store_stays_behind_and_is_named(tester: Seat, tmp_path: Path) -> None:
    job_id = making.complete_job(tester.desk)
    (tmp_path / "plate.jpg").write_bytes(PHOTO)
    photo = tester.desk.attach(job_id, tmp_path / "plate.jpg").view.job.attached[0]
    attachments.path_of(tester.store.path, photo.digest_hex).unlink()
    note = tester.desk.hand_in(job_id, PASSPHRASE, APPROVER, tmp_path / "out").note_text
    assert "do not go along: plate.jpg (missing or altered in this store)." in note


def test_attached_files_too_large_together_are_named_when_they_are_attached(
    tester: Seat, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.desk.carrying.LARGEST_TOGETHER", len(PHOTO) + 3)
    job_id = making.complete_job(tester.desk)
    for name, data in (("plate.jpg", PHOTO), ("paper.pdf", PLAN)):
        (tmp_path / name).write_bytes(data)
        note = tester.desk.attach(job_id, tmp_path / name).note_text
    assert "do not go along: paper.pdf (more than 0 MB together)" in note


def test_a_pack_holds_them_under_their_digest_and_is_altered_with_them(
    approver: Seat, sent: tuple[str, Path], tmp_path: Path
) -> None:
    job_id, path = sent
    approver.desk.take_in(path)
    approver.desk.approve(job_id, PASSPHRASE)
    approver.desk.issue(job_id, PASSPHRASE, tmp_path / "pack.zip")
    papers = pack.read_pack((tmp_path / "pack.zip").read_bytes())
    assert sorted(papers.attached.values()) == sorted([PHOTO, PLAN])
    trust = approver.desk.trust()
    assert verify_path(tmp_path / "pack.zip", trust=trust).outcome == "genuine"
    other = {name: data + b" " for name, data in papers.attached.items()}
    (tmp_path / "other.zip").write_bytes(pack.build_pack(dataclasses.replace(papers, attached=other)))
    verdict = verify_path(tmp_path / "other.zip", trust=trust)
    assert verdict.outcome == "altered"
    assert any(
        "The attached file plate.jpg is not the one that was signed" in one for one in verdict.sentences
    )


def test_a_plain_job_file_says_which_attached_files_it_leaves_behind(
    tester: Seat, approver: Seat, tmp_path: Path
) -> None:
    job_id = making.complete_job(tester.desk)
    (tmp_path / "plate.jpg").write_bytes(PHOTO)
    tester.desk.attach(job_id, tmp_path / "plate.jpg")
    tester.desk.export_job(job_id, tmp_path / "job.json")
    assert "did not come along: plate.jpg" in approver.desk.take_in(tmp_path / "job.json").note_text
