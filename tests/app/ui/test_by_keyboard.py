"""The window without a pointer: Tab reaches everything in the order of reading; the focus is never lost."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.ui.shell.verbs import VERBS
from app.ui.window import PAGES
from tests.app.ui.desk_of_window import OpenHand

PAGE_IDS = ("jobs", *PAGES)
# More than any page has.
MOST_STOPS = 120
# These end the window, or make it anew.
NOT_TRIED = ("quit", "larger", "smaller", "practice")


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, tmp_path)
    made.window.resize(1366, 768)
    yield made
    made.close()


def place_of(window: QWidget, one: QWidget) -> QRect:
    return QRect(one.mapTo(window, QPoint(0, 0)), one.size())


def round_by_tab(hand, page_id: str) -> list[QWidget]:
    """Every stop of Tab from the first focus of a page until it comes round."""
    hand.window.show_page(page_id)
    hand.rest()
    stops = [hand.focus]
    for _ in range(MOST_STOPS):
        QTest.keyClick(hand.focus, Qt.Key.Key_Tab)
        QApplication.processEvents()
        if hand.focus is stops[0]:
            return stops
        stops.append(hand.focus)
    return stops


def goes_back(before: QRect, after: QRect) -> bool:
    """Whether one that follows stands above, and not in a column to the right."""
    return after.bottom() <= before.top() and after.left() < before.right()


@pytest.mark.parametrize("page_id", PAGE_IDS)
def test_tab_reaches_every_control_of_a_page_in_the_order_of_reading(hand, page_id):
    stops = round_by_tab(hand, page_id)
    inside = [one for one in stops if hand.window.front.isAncestorOf(one)]
    places = [place_of(hand.window, one) for one in inside]
    back = [
        (one.accessibleName(), other.accessibleName())
        for one, other, here, there in zip(inside, inside[1:], places, places[1:], strict=False)
        if goes_back(here, there)
    ]
    wanted = [
        one
        for one in hand.window.findChildren(QWidget)
        if one.isVisible()
        and one.isEnabled()
        and one.focusPolicy() & Qt.FocusPolicy.TabFocus
        and one.focusProxy() is None
    ]
    assert len(stops) < MOST_STOPS
    # Once it comes round within the page, where that is more than one column.
    assert len(back) <= 1, back
    assert [(type(one).__name__, one.accessibleName()) for one in wanted if one not in stops] == []


@pytest.mark.parametrize("verb", [verb for verb in VERBS if verb.key and verb.verb_id not in NOT_TRIED])
def test_no_verb_loses_the_focus_nor_does_leaving_it(hand, verb):
    keys = QKeySequence(verb.key)[0]
    QTest.keyClick(hand.focus, keys.key(), keys.keyboardModifiers())
    hand.rest()
    front = QApplication.activePopupWidget() or QApplication.activeModalWidget()
    if front is not None:
        QTest.keyClick(front, Qt.Key.Key_Escape)
        hand.rest()
    hand.window.activateWindow()
    QApplication.processEvents()
    assert QApplication.activeModalWidget() is None
    assert QApplication.focusWidget() is not None
