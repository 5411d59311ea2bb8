from __future__ import annotations

import dataclasses

import pytest
from PySide6.QtCore import Qt

from app.desk.archive.courier import Carried
from app.desk.archive.sending import ArchiveLine, Round
from app.jobstore.archive import ArchiveProblem
from app.ui.shell.sender import SendingView
from tests.app.ui.desk_of_window import OpenHand

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
WAITING = ArchiveLine(
    job_id="j1", number_text="77", revision=1, pack_digest="d", state_text="", archived=False
)
ARCHIVED = dataclasses.replace(
    WAITING, state_text="Archived in place 3.", archived=True, when_text="4 May 2031 08:42:07 +00:00"
)
REFUSED = dataclasses.replace(WAITING, state_text="The record is altered.", when_text="4 May 2031 08:42:07")


class Carrier:
    """A courier without a network: what it does is said beforehand."""

    def __init__(self, *answers: object) -> None:
        self.answers = list(answers)

    def carry(self, parcels):
        answer = self.answers.pop(0)
        if isinstance(answer, Exception):
            raise answer
        return [answer] * len(parcels)


@pytest.fixture
def page(hand: OpenHand):
    hand.press(Qt.Key.Key_U, SHIFTED)
    return hand.window.page("sending")


def carried_by(hand: OpenHand, monkeypatch, carrier: Carrier, *lines: ArchiveLine) -> list[object]:
    """Let the desk say that these lines wait, and note what is written down."""
    noted: list[object] = []
    desk = hand.window.session.desk
    made = Round(lines=lines, parcels=tuple(object() for _ in lines), courier=carrier)  # type: ignore[arg-type]
    monkeypatch.setattr(desk, "archive_round", lambda _passed: made)
    monkeypatch.setattr(desk, "archive_place", lambda: "place")
    monkeypatch.setattr(desk, "archive_queue", lambda **_all: list(lines))
    monkeypatch.setattr(desk, "note_carried", noted.append)
    return noted


def test_without_an_archive_the_page_says_what_to_name(hand, page):
    hand.wait(lambda: page.state.text())
    assert page.state.text() == "No archive is named; name it in the preferences."
    assert not page.foot.buttons["try_now"].isEnabled()
    assert "archive" not in hand.window.status.saved.text


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ((WAITING, WAITING, WAITING), "waiting for archive: 3 records"),
        ((ARCHIVED, WAITING), "waiting for archive: 1 record"),
        ((REFUSED,), "refused by the archive: 1"),
        ((ARCHIVED,), "archived"),
        ((), ""),
    ],
)
def test_the_line_at_the_foot_says_in_words_what_waits(lines, words):
    assert SendingView(lines=lines, place_text="place").words == words
    assert SendingView(lines=lines).words == ""


def test_what_came_back_is_written_down_by_the_writer(hand, page, monkeypatch):
    told = Carried(digest_hex="d", state="archived", sentence_text="Archived.")
    noted = carried_by(hand, monkeypatch, Carrier(told), WAITING)
    page.try_now()
    hand.wait(lambda: noted and not hand.window.sending.busy)
    assert noted == [[(WAITING, told)]]
    hand.wait(lambda: "waiting for archive" in hand.window.status.saved.text)
    assert hand.window.sending._due.isActive()


def test_where_nobody_answers_one_sentence_says_so_and_the_pauses_grow(hand, page, monkeypatch):
    trouble = ArchiveProblem("Everything is kept. Nobody answers.", reachable=False)
    carried_by(hand, monkeypatch, Carrier(*[trouble] * 3), WAITING)
    pauses = []
    for _ in range(3):
        hand.window.sending.send()
        hand.wait(lambda: not hand.window.sending.busy)
        pauses.append(hand.window.sending._due.interval())
    hand.rest()
    hand.wait(lambda: page.trouble.text())
    assert pauses == [30_000, 60_000, 120_000]
    assert page.trouble.text() == "Everything is kept. Nobody answers."
    assert hand.window.bar.sentence == ""


def test_a_receipt_that_does_not_count_is_said_and_nothing_is_called_archived(hand, page, monkeypatch):
    doubt = Carried(digest_hex="d", state="waiting", sentence_text="Its receipt does not count.")
    carried_by(hand, monkeypatch, Carrier(doubt), WAITING)
    page.try_now()
    hand.wait(lambda: page.trouble.text())
    assert page.trouble.text() == "Its receipt does not count."


def test_the_list_says_of_each_issued_revision_where_it_stands(hand, page):
    hand.window.sending.told.emit(
        SendingView(lines=(REFUSED, ARCHIVED), place_text="place", tried_text="08:42")
    )
    assert [page.model.index(row, 2).data() for row in (0, 1)] == ["refused", "archived"]
    assert page.said.text() == "The record is altered."
    assert page.state.text() == "Refused by the archive: 1. Last tried at 08:42."


def test_the_list_of_jobs_says_it_too(hand):
    jobs = hand.window.jobs
    line = dataclasses.replace(jobs.model.line(0), state="issued", job_id="j1")
    jobs.show_lines([line])
    said = []
    for one in (WAITING, REFUSED, ARCHIVED):
        jobs.show_sent([one])
        said.append(jobs.model.index(0, 4).data())
    assert said == ["issued, waiting", "issued, refused", "archived 4 May 2031"]
