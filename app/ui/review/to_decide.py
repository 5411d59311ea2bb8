"""The lines to decide, worst first: what was found, and the decision that stands or is wanted."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QFontMetricsF, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from app.ui import theme
from app.ui.review.queue_list import paint_counted
from app.ui.shell.lines_view import LINE_ROLE, Index, LinesModel, paint_ground, width_of
from app.ui.texts import text
from app.words import verdict_word
from ctcore.findings import Verdict

_WRAP = int(Qt.TextFlag.TextWordWrap)
_HEAD = 26


@dataclass(frozen=True, slots=True, kw_only=True)
class DecideLine:
    """One line: where, what was found, what is decided about it and by whom, what is asked, what it was.

    `asked` is the state of its comments; `settled` tells that nothing waits for who decides.
    """

    key: str
    core_id: str
    procedure_id: str
    verdict: Verdict
    place_text: str
    found_text: str
    decided_text: str
    settled: bool
    allowed: tuple[str, ...]
    reason_text: str
    valid_text: str = ""
    asked: str = ""
    is_changed: bool = False
    was_text: str = ""

    @property
    def can_be_asked(self) -> bool:
        """Whether a comment can be pinned to it: it is judged now."""
        return not self.key.startswith(("gone/", "part/"))


class ToDecideModel(LinesModel):
    """Lines outside, refer, not tested; calibrations that had ended."""

    def words(self, line: DecideLine) -> str:
        """Verdict, place, what was found, whether that is new, the decision."""
        new = text("review.changed_word") if line.is_changed else ""
        said = f"{verdict_word(line.verdict)}: {line.place_text}. {line.found_text} {line.decided_text}"
        return f"{said} {new}".strip()

    def next_open(self, after: int) -> int:
        """The next row without a decision, going round; -1 where all are settled."""
        count = len(self.lines)
        order = [(after + step) % count for step in range(1, count + 1)] if count else []
        return next((row for row in order if not self.lines[row].settled), -1)


class ToDecideDelegate(QStyledItemDelegate):
    """Draws one line: mark, whether it changed, the decision; place in bold, what was found.

    `brief` keeps to one line of what was found, so that thousands of lines are laid out at once.
    """

    brief = False

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Three parts."""
        line: DecideLine = index.data(LINE_ROLE)
        painter.save()
        room = paint_ground(painter, option, index)
        painter.setPen(theme.color("ink"))
        right = paint_counted(
            painter, QPointF(room.left(), room.top() + 11), line.verdict, None, room.right()
        )
        if line.is_changed:
            right = _paint_changed(painter, QPointF(right, room.top() + 11))
        font = theme.font("second", bold=not line.settled)
        painter.setFont(font)
        head = QRectF(right, room.top(), room.right() - right, 22)
        shown = QFontMetricsF(font).elidedText(line.decided_text, Qt.TextElideMode.ElideRight, head.width())
        painter.drawText(head, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, shown)
        place, found = self._heights(line, int(room.width()))
        painter.setFont(theme.font("value", bold=True))
        where = QRectF(room.left(), room.top() + _HEAD, room.width(), place)
        if self.brief:
            metrics = QFontMetricsF(theme.font("value", bold=True))
            # The end names the test, so that it is the middle that gives way.
            shown = metrics.elidedText(line.place_text, Qt.TextElideMode.ElideMiddle, room.width())
            painter.drawText(where, 0, shown)
        else:
            painter.drawText(where, _WRAP, line.place_text)
        painter.setFont(theme.font("finding"))
        under = QRectF(room.left(), room.top() + _HEAD + place + 2, room.width(), found)
        if self.brief:
            metrics = QFontMetricsF(theme.font("finding"))
            words = line.found_text.replace("\n", " ")
            painter.drawText(under, 0, metrics.elidedText(words, Qt.TextElideMode.ElideRight, under.width()))
        else:
            painter.drawText(under, _WRAP, line.found_text)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As tall as its words at the width of the list."""
        wide = width_of(option)
        place, found = self._heights(index.data(LINE_ROLE), wide - 28)
        return QSize(wide, 8 + _HEAD + place + 2 + found + 10)

    def _heights(self, line: DecideLine, wide: int) -> tuple[int, ...]:
        if self.brief:
            return tuple(int(QFontMetricsF(theme.font(role)).height()) for role in ("value", "finding"))
        flow = QRectF(0, 0, max(wide, 120), 9999).toRect()
        place = QFontMetrics(theme.font("value", bold=True)).boundingRect(flow, _WRAP, line.place_text)
        found = QFontMetrics(theme.font("finding")).boundingRect(flow, _WRAP, line.found_text)
        return place.height(), found.height()


def _paint_changed(painter: QPainter, at: QPointF) -> float:
    """The word of a line that changed, ruled on both sides; returns where the next word can begin."""
    font = theme.font("second", bold=True)
    words = text("review.changed_word")
    wide = QFontMetricsF(font).horizontalAdvance(words) + 12
    box = QRectF(at.x() + 2, at.y() - 11, wide, 22)
    painter.setFont(font)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
    painter.fillRect(QRectF(box.left(), box.top(), 3, box.height()), theme.color("here"))
    painter.fillRect(QRectF(box.right() - 3, box.top(), 3, box.height()), theme.color("here"))
    return box.right() + 6
