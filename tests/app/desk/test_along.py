"""A job with frozen and signed revisions as a draft on another computer, and back: nothing is lost."""

from __future__ import annotations

import dataclasses
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.chains import StorePapers
from app.record.canonical import digest
from app.record.draft import from_bytes, to_bytes
from tests.app.desk import making
from tests.app.desk.making import Clock, Seat


@pytest.fixture
def second(tmp_path: Path, keys: Path, clock: Clock) -> Iterator[Seat]:
    """Another technician of the same office."""
    seat = making.seat(tmp_path / "second", "R. Second", clock)
    shutil.copytree(keys / "trust", tmp_path / "second" / "settings" / "trust")
    yield seat
    seat.close()


def pass_on(giver: Seat, taker: Seat, job_id: str, name: str = "draft.json") -> str:
    path = giver.desk.hand_out(job_id, giver.folder / name)
    return taker.desk.take_in(path).note_text


def kept(seat: Seat, job_id: str) -> list[tuple[int, str]]:
    return [(one.revision, one.digest) for one in seat.store.revisions(job_id)]


def test_a_revision_that_was_sent_back_comes_along_with_its_signature_sheet_and_reason(
    tester: Seat, second: Seat, waiting: str, sent_back: Path
) -> None:
    tester.desk.take_in(sent_back)
    note = pass_on(tester, second, waiting)

    assert note == "Frozen with the draft, and kept here now: revision 1."
    assert kept(second, waiting) == kept(tester, waiting)
    theirs = second.desk.view(waiting)
    assert [(one.name_text, one.signed) for one in theirs.revisions] == [("T. Adder", True)]
    assert (theirs.job.state, theirs.read_only_reason) == ("sent_back", None)
    assert second.desk._of(waiting).journey.answers == tester.desk._of(waiting).journey.answers
    sheets = [
        [one.digest for one in seat.store.attachments(waiting) if one.name_text == "revision-1-tested.pdf"]
        for seat in (tester, second)
    ]
    assert sheets[0] == sheets[1]
    assert second.store.faults() == []
    assert StorePapers(second.store).papers()[0].tested == StorePapers(tester.store).papers()[0].tested


def test_what_was_done_there_comes_back_and_the_revisions_here_are_what_they_were(
    tester: Seat, second: Seat, waiting: str, sent_back: Path
) -> None:
    tester.desk.take_in(sent_back)
    pass_on(tester, second, waiting)
    second.desk.key(waiting, making.ohms_cell(second.desk, waiting), "2.05")
    before = kept(tester, waiting)
    papers = StorePapers(tester.store).papers()
    pass_on(second, tester, waiting, "back.json")

    assert kept(tester, waiting) == before
    assert StorePapers(tester.store).papers() == papers
    assert "2.05" in {one.as_typed_text for one in tester.store.load(waiting).readings}
    change = tester.desk.freeze(waiting)
    assert [line.signed for line in change.view.revisions] == [True, False]
    assert tester.store.faults() == second.store.faults() == []


def test_a_revision_frozen_on_the_other_computer_comes_back_with_the_draft(
    tester: Seat, second: Seat, waiting: str, sent_back: Path
) -> None:
    tester.desk.take_in(sent_back)
    pass_on(tester, second, waiting)
    second.desk.freeze(waiting)
    second.desk.revise(waiting, "one lead was loose")
    note = pass_on(second, tester, waiting, "back.json")

    assert "kept here now: revision 2." in note
    assert kept(tester, waiting) == kept(second, waiting)
    assert [line.signed for line in tester.desk.view(waiting).revisions] == [True, False]
    assert pass_on(second, tester, waiting, "again.json").count("revision") == 0


def test_two_revisions_with_one_number_are_refused_and_nothing_changes(
    tester: Seat, second: Seat, waiting: str, sent_back: Path
) -> None:
    tester.desk.take_in(sent_back)
    pass_on(tester, second, waiting)
    for seat in (tester, second):
        seat.desk.freeze(waiting)
        seat.desk.revise(waiting, "one lead was loose")
    before = tester.store.events()

    with pytest.raises(Refusal, match=r"Revision 2 .* says something else\. Nothing was taken in\."):
        pass_on(second, tester, waiting, "back.json")
    assert tester.store.events() == before


def test_an_issued_revision_comes_along_as_the_pack_it_is(
    tester: Seat, second: Seat, waiting: str, issued: Path
) -> None:
    tester.desk.take_in(issued)
    tester.desk.revise(waiting, "a clerical slip")
    pass_on(tester, second, waiting)

    assert second.desk._of(waiting).journey.packs == {1: digest(issued.read_bytes())}
    assert StorePapers(second.store).papers() == StorePapers(tester.store).papers()
    assert second.desk.check(second.store.path).outcome == "genuine"


def test_a_revision_of_somebody_unknown_is_refused_and_one_that_was_altered_too(
    tester: Seat, tmp_path: Path, waiting: str, sent_back: Path, clock: Clock
) -> None:
    tester.desk.take_in(sent_back)
    stranger = making.seat(tmp_path / "stranger", "R. Second", clock)
    with pytest.raises(Refusal, match=r"Nothing was taken in\."):
        pass_on(tester, stranger, waiting)
    path = tester.folder / "draft.json"
    draft = from_bytes(path.read_bytes())
    path.write_bytes(to_bytes(dataclasses.replace(draft, revisions={1: draft.revisions[1][:-20]})))
    with pytest.raises(Refusal, match=r"Nothing was taken in\."):
        stranger.desk.take_in(path)
    path.write_bytes(to_bytes(dataclasses.replace(draft, revisions={})))
    with pytest.raises(Refusal, match="did not come along"):
        stranger.desk.take_in(path)

    assert stranger.store.jobs() == []
    stranger.close()
