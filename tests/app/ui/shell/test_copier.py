"""What the line at the foot says of copies, told anew while time goes by."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from app.desk.copies import OVERDUE_AFTER
from app.desk.seen import Memory
from app.jobstore.copies import device_of
from app.settings import profile_folder
from tests.app.ui.desk_of_window import OpenHand


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, tmp_path)
    yield made
    made.close()


def copied_elsewhere(hand, gone: timedelta) -> None:
    """A copy on another device was made so long ago; the window tells of copies when its time comes."""
    settings = hand.window.settings
    memory = Memory(profile_folder(settings.folder))
    memory.keep_copied(device_of(settings.store_path), "copied_away", datetime.now(UTC) - gone)
    hand.window.copier._telling.timeout.emit()


def test_without_a_copy_elsewhere_it_says_so(hand):
    hand.wait(lambda: "none elsewhere yet" in hand.window.status.saved.text)


def test_how_long_ago_the_last_one_elsewhere_was_made_is_told_anew(hand):
    copied_elsewhere(hand, timedelta(hours=3, minutes=5))
    hand.wait(lambda: "elsewhere 3 hours ago" in hand.window.status.saved.text)
    copied_elsewhere(hand, timedelta(hours=4, minutes=5))
    hand.wait(lambda: "elsewhere 4 hours ago" in hand.window.status.saved.text)


def test_one_that_is_too_old_is_overdue(hand):
    copied_elsewhere(hand, OVERDUE_AFTER + timedelta(hours=1))
    hand.wait(lambda: f"overdue elsewhere: {OVERDUE_AFTER.days} days ago" in hand.window.status.saved.text)


def test_a_window_that_closed_tells_nothing_any_more(hand):
    hand.close()
    assert not hand.window.copier._telling.isActive()
