"""Files attached to a job: pinned, known by their digest, in the record and on the sheet."""

from __future__ import annotations

import dataclasses
import hashlib
from pathlib import Path

import pytest

from app.desk import Desk, Refusal
from app.jobstore import Store
from app.record.revision import from_bytes
from ctcore.errors import BadInput
from tests.app.desk.making import complete_job
from tests.app.exchange.test_pictures import jpeg, png


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "plate.jpg"
    path.write_bytes(jpeg(640, 480))
    return path


def test_a_photograph_is_pinned_and_known_by_its_digest(
    desk: Desk, store: Store, job_id: str, core_id: str, photo: Path
) -> None:
    (attached,) = desk.attach(job_id, photo, core_id=core_id, procedure_id="visual").view.job.attached
    assert attached.digest_hex == hashlib.sha256(photo.read_bytes()).hexdigest()
    assert (attached.core_id, attached.procedure_id) == (core_id, "visual")
    (kept,) = store.attachments(job_id)
    assert store.attachment_bytes(kept) == photo.read_bytes()


def test_it_is_still_in_the_job_when_the_job_is_opened_again(desk: Desk, job_id: str, photo: Path) -> None:
    before = desk.attach(job_id, photo).view.job.attached
    desk.close_job(job_id)
    assert desk.open_job(job_id).job.attached == before


def test_attaching_is_one_event_with_file_and_digest(
    desk: Desk, store: Store, job_id: str, photo: Path
) -> None:
    count = len(store.events(job_id))
    desk.attach(job_id, photo)
    (event,) = store.events(job_id)[count:]
    assert event.act.kind == "attach"
    assert event.act.to == ["plate.jpg", hashlib.sha256(photo.read_bytes()).hexdigest()]


def test_the_same_file_in_the_same_place_is_attached_once(desk: Desk, job_id: str, photo: Path) -> None:
    desk.attach(job_id, photo)
    change = desk.attach(job_id, photo)
    assert (len(change.view.job.attached), change.note_text) == (1, "plate.jpg is attached here already.")


def test_a_picture_too_large_is_refused_before_it_is_decoded(desk: Desk, job_id: str, tmp_path: Path) -> None:
    path = tmp_path / "large.png"
    path.write_bytes(png(10_000, 10_000))
    with pytest.raises(BadInput, match="100 megapixels"):
        desk.attach(job_id, path)
    assert desk.view(job_id).job.attached == ()


def test_a_file_that_is_not_there_is_said_so(desk: Desk, job_id: str, tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="Nothing was changed"):
        desk.attach(job_id, tmp_path / "none.jpg")


def test_the_frozen_record_holds_the_digests(desk: Desk, store: Store, photo: Path) -> None:
    job_id = complete_job(desk)
    desk.attach(job_id, photo)
    desk.freeze(job_id, "I tested this.")
    record = from_bytes(store.revisions(job_id)[-1].record_bytes)
    assert record.job.attached[0].digest_hex == hashlib.sha256(photo.read_bytes()).hexdigest()
    with pytest.raises(Refusal):
        desk.attach(job_id, photo, core_id="other")


def test_a_struck_file_stays_with_the_job_and_says_why(
    desk: Desk, store: Store, job_id: str, photo: Path
) -> None:
    (one,) = desk.attach(job_id, photo).view.job.attached
    (struck,) = desk.strike_attached(job_id, one, " wrong bay ").view.job.attached
    assert (struck.name_text, struck.digest_hex, struck.struck_text) == (
        one.name_text, one.digest_hex, "wrong bay",
    )  # fmt: skip
    assert desk.attached_bytes(job_id, struck) == photo.read_bytes()
    event = store.events(job_id)[-1]
    assert (event.act.kind, event.act.from_, event.act.to) == (
        "strike_attached", ["plate.jpg", one.digest_hex], "wrong bay",
    )  # fmt: skip


def test_a_struck_file_is_not_struck_twice_and_never_without_a_reason(
    desk: Desk, job_id: str, photo: Path
) -> None:
    (one,) = desk.attach(job_id, photo).view.job.attached
    with pytest.raises(Refusal, match="with a reason"):
        desk.strike_attached(job_id, one, " ")
    (struck,) = desk.strike_attached(job_id, one, "wrong bay").view.job.attached
    with pytest.raises(Refusal, match="struck already"):
        desk.strike_attached(job_id, struck, "again")
    assert len(desk.attach(job_id, photo).view.job.attached) == 2


def test_undoing_an_earlier_change_of_the_title_block_keeps_the_photograph(
    desk: Desk, job_id: str, photo: Path
) -> None:
    header = desk.view(job_id).job.header
    desk.set_header(job_id, dataclasses.replace(header, weather_text="rain"))
    desk.attach(job_id, photo)
    undone = desk.undo(job_id).view.job
    assert (undone.header.weather_text, [one.name_text for one in undone.attached]) == ("", [photo.name])

    redone = desk.redo(job_id).view.job
    assert (redone.header.weather_text, redone.attached) == ("rain", undone.attached)
