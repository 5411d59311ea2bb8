from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter

from app.ui import marks, theme
from ctcore.findings import VERDICTS


def _drawn(mark: str) -> QImage:
    image = QImage(60, 40, QImage.Format.Format_RGB32)
    image.fill(theme.color("sheet"))
    painter = QPainter(image)
    marks.paint(painter, mark, QPointF(30, 20), 15)
    painter.end()
    return image


def _bytes(mark: str) -> bytes:
    return bytes(_drawn(mark).constBits())


def test_every_verdict_has_a_mark():
    assert set(VERDICTS) < set(marks.MARKS)


def test_no_two_marks_look_alike(qapp):
    assert len({_bytes(mark) for mark in marks.MARKS}) == len(marks.MARKS)


@pytest.mark.parametrize("mark", VERDICTS)
def test_no_verdict_has_a_colour(qapp, mark):
    image = _drawn(mark)
    spread = max(
        max(color.getRgb()[:3]) - min(color.getRgb()[:3])
        for color in (QColor(image.pixel(x, y)) for x in range(60) for y in range(40))
    )
    assert spread <= 8


def test_a_mark_alone_says_its_word_to_a_screen_reader(qtbot):
    label = marks.MarkLabel("outside", worded=False)
    qtbot.addWidget(label)
    assert label.accessibleName() == "outside"


def test_another_word_stands_beside_the_verdict_not_in_its_place(qtbot):
    label = marks.MarkLabel("being keyed", word="row 10")
    qtbot.addWidget(label)
    assert label.accessibleName() == "being keyed: row 10"


def test_the_label_is_wide_enough_for_its_word(qtbot):
    label = marks.MarkLabel("not applicable")
    qtbot.addWidget(label)
    narrow = label.sizeHint().width()
    label.set_mark("within")
    assert label.sizeHint().width() < narrow
