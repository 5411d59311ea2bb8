"""Merging drafts on the command line: the rules of the window, one clear sentence for what does not fit."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from app.commands import run
from tests.app.desk import making
from tests.app.desk.making import Clock, Seat


@pytest.fixture
def drafts(one: Seat, two: Seat, tmp_path: Path) -> tuple[Path, Path]:
    """Two drafts of a job whose resistance was read differently on two laptops."""
    job_id = making.complete_job(one.desk)
    two.desk.take_in(one.desk.hand_out(job_id, tmp_path / "first.json"))
    one.desk.key(job_id, making.ohms_cell(one.desk, job_id), "2.2")
    two.desk.key(job_id, making.ohms_cell(two.desk, job_id), "2.3")
    return tuple(
        seat.desk.hand_out(job_id, tmp_path / f"{name}.json") for name, seat in (("a", one), ("b", two))
    )


def merge(*files: Path, out: Path) -> int:
    return run(["merge", *map(str, files), "--out", str(out)])


def test_two_drafts_are_one_in_either_order(
    drafts: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    there, back = tmp_path / "there.json", tmp_path / "back.json"
    assert merge(*drafts, out=there) == 0
    said = capsys.readouterr().out
    assert merge(*reversed(drafts), out=back) == 0

    assert there.read_bytes() == back.read_bytes()
    assert "a.json: job 77 from T. Adder, 6 readings" in said
    assert "b.json: 1 reading of the others it did not have" in said
    assert f"Job 77, 7 readings; 1 field is said differently and wait for an answer: {there}" in said


def test_what_came_of_it_is_taken_in_like_each_of_them(
    drafts: tuple[Path, Path], one: Seat, tmp_path: Path
) -> None:
    merge(*drafts, out=tmp_path / "c.json")
    third = making.seat(tmp_path / "third", "S. Third", Clock())
    job_id = third.desk.take_in(tmp_path / "c.json").view.job.job_id
    one.desk.take_in(tmp_path / "c.json")

    assert [len(seat.desk.questions(job_id)) for seat in (one, third)] == [1, 1]
    assert set(third.store.load(job_id).readings) == set(one.store.load(job_id).readings)
    assert third.store.faults() == []
    third.close()


def test_a_merge_again_changes_nothing(drafts: tuple[Path, Path], tmp_path: Path) -> None:
    merge(*drafts, out=tmp_path / "c.json")
    merge(tmp_path / "c.json", *drafts, out=tmp_path / "d.json")

    assert (tmp_path / "c.json").read_bytes() == (tmp_path / "d.json").read_bytes()


def refused(capsys: pytest.CaptureFixture[str], code: int, *files: Path, out: Path) -> str:
    assert merge(*files, out=out) == code
    return capsys.readouterr().err


def test_what_cannot_be_merged_is_said_in_one_sentence_and_nothing_is_written(
    drafts: tuple[Path, Path], one: Seat, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out.json"
    half, bare, other = (tmp_path / name for name in ("half.json", "bare.json", "other.json"))
    whole = drafts[0].read_bytes()
    half.write_bytes(whole[len(whole) // 3 :])
    (line,) = one.store.jobs()
    one.desk.export_job(line.job_id, bare)
    one.desk.hand_out(making.complete_job(one.desk), other)

    assert "half.json: The draft is damaged" in refused(capsys, 65, drafts[0], half, out=out)
    assert "bare.json is no draft" in refused(capsys, 65, drafts[0], bare, out=out)
    assert "two different jobs" in refused(capsys, 65, drafts[0], other, out=out)
    assert "cannot be read" in refused(capsys, 65, drafts[0], tmp_path / "none.json", out=out)
    assert "or more" in refused(capsys, 64, drafts[0], out=out)
    assert not out.exists()
    assert "overwrite" in refused(capsys, 64, *drafts, out=drafts[1])
    assert "cannot be written" in refused(capsys, 73, *drafts, out=tmp_path / "no folder" / "x.json")
    assert drafts[0].read_bytes() == whole


def test_a_store_that_was_brought_back_from_a_copy_is_refused(
    one: Seat, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job_id = making.complete_job(one.desk)
    one.close()
    shutil.copytree(one.folder, tmp_path / "copy")
    copy, again = (making.sit_down(folder, Clock()) for folder in (tmp_path / "copy", one.folder))
    copy.desk.remark(job_id, "", "", "in the copy")
    again.desk.remark(job_id, "", "", "in the store")
    files = [seat.desk.hand_out(job_id, seat.folder / "d.json") for seat in (copy, again)]

    said = refused(capsys, 65, *files, out=tmp_path / "out.json")
    assert "brought back from an older copy" in said
    copy.close()
    again.close()


def test_frozen_revisions_of_both_go_along(one: Seat, two: Seat, tmp_path: Path) -> None:
    job_id = making.complete_job(one.desk)
    one.desk.freeze(job_id)
    one.desk.revise(job_id, "one lead was loose")
    first = one.desk.hand_out(job_id, tmp_path / "a.json")
    two.desk.take_in(first)
    two.desk.freeze(job_id)
    two.desk.revise(job_id, "another one too")
    second = two.desk.hand_out(job_id, tmp_path / "b.json")
    assert merge(first, second, out=tmp_path / "c.json") == 0
    third = making.seat(tmp_path / "third", "S. Third", Clock())
    third.desk.take_in(tmp_path / "c.json")

    assert [one.revision for one in third.store.revisions(job_id)] == [1, 2]
    third.close()


def test_two_revisions_with_one_number_are_refused(
    one: Seat, two: Seat, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job_id = making.complete_job(one.desk)
    two.desk.take_in(one.desk.hand_out(job_id, tmp_path / "first.json"))
    one.desk.freeze(job_id)
    two.desk.freeze(job_id)
    one.desk.revise(job_id, "one lead was loose")
    two.desk.revise(job_id, "another one")
    files = [seat.desk.hand_out(job_id, seat.folder / "d.json") for seat in (one, two)]

    assert "revision 1 of this job was frozen on two computers" in refused(
        capsys, 65, *files, out=tmp_path / "out.json"
    )
