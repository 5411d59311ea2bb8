"""The list of jobs is shown before the store is open; what is asked of it then is done once it is."""

from __future__ import annotations

import pytest

from tests.app.ui.desk_of_window import Hand, make_job


@pytest.fixture
def hand(qtbot, tmp_path):
    made = Hand(qtbot, tmp_path)
    yield made
    made.close()


def test_a_job_chosen_before_the_store_is_open_is_opened_once_it_is(hand):
    job_id = make_job(hand.folder)
    session, jobs = hand.window.session, hand.window.jobs
    listed = []
    session.listed.connect(lambda _lines: listed.append(session.desk is None))
    session.open_store(hand.folder)
    hand.wait(lambda: jobs.model.rowCount() == 1)
    hand.window.open_job(job_id)
    hand.wait(lambda: session.view is not None)
    assert listed == [True, False]
    assert (session.job_id, hand.window.bar.sentence) == (job_id, "")


def test_where_the_store_does_not_open_the_reason_is_said_and_nothing_waits(hand):
    (hand.folder / "store.sqlite").write_bytes(b"words that are no store, and more of them" * 100)
    session = hand.window.session
    session.open_store(hand.folder)
    hand.window.open_job("one")
    hand.wait(lambda: hand.window.bar.sentence)
    hand.rest()
    assert "store.sqlite" in hand.window.bar.sentence
    hand.window.open_job("one")
    assert hand.window.bar.sentence.startswith("The store is not open yet.")
    assert session.desk is None
