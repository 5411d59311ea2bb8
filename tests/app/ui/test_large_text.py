"""Text of 200 % on the smallest screen: no words of a page are cut, measured against the room they have."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QWidget

from app.ui.shell.lettering import Line
from app.ui.shell.title_block import TitleBlock
from app.ui.texts import table
from app.ui.window import PAGES
from tests.app.ui.desk_of_window import OpenHand

# A screen of 1366 x 768 at 200 %: the same window holds half as much.
SCREEN = (683, 384)
# Above and below a line nothing is drawn.
SPARE_PX = 4


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, tmp_path)
    made.window.resize(*SCREEN)
    yield made
    made.close()


def wanted(label: QLabel) -> QSize:
    """The room that the words of a label need at its width."""
    if isinstance(label, Line):
        return label.sizeHint()
    flags = int(Qt.TextFlag.TextWordWrap) if label.wordWrap() else 0
    box = QRect(0, 0, max(label.width(), 1), 10_000)
    return label.fontMetrics().boundingRect(box, flags, label.text()).size()


def is_cut(label: QLabel) -> bool:
    asked, has = wanted(label), label.size()
    # A path is one word, which no line breaks: only its height is held to.
    too_wide = asked.width() > has.width() + 1 and not label.wordWrap()
    return bool(words_of(label)) and (too_wide or asked.height() > has.height() + SPARE_PX)


def words_of(label: QLabel) -> str:
    return label.text if isinstance(label, Line) else label.text()


def names_something(label: QLabel) -> bool:
    """Whether it holds words of the job, of any length, rather than words of the program."""
    return isinstance(label, Line) and label.text not in table().values()


@pytest.mark.parametrize("page_id", ["jobs", *PAGES])
def test_no_words_of_a_page_are_cut_at_200_percent(hand, page_id):
    hand.window.show_page(page_id)
    hand.rest()
    QApplication.processEvents()
    page: QWidget = hand.window.front
    labels = [one for one in page.findChildren(QLabel) if one.isVisible()]
    buttons = [one for one in page.findChildren(QAbstractButton) if one.isVisible() and one.width() > 0]
    hand.window.grab()
    cut = [
        (type(one).__name__, words_of(one))
        for one in labels
        if is_cut(one) and not (names_something(one) and one.toolTip() == words_of(one))
    ]
    narrow = [one.accessibleName() for one in buttons if one.width() + 1 < one.minimumSizeHint().width()]
    assert (cut, narrow) == ([], [])


def test_a_line_of_the_title_block_that_is_cut_says_the_whole_to_who_asks(hand):
    lines = [one for one in hand.window.findChild(TitleBlock).findChildren(Line) if one.isVisible()]
    hand.window.grab()
    assert lines
    assert [one.text for one in lines if is_cut(one) and one.toolTip() != one.text] == []
    assert [one.text for one in lines if one.accessibleName() != one.text] == []
