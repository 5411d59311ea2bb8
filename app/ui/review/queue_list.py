"""The list of what waits: worst verdicts as marks, how long it has been here, when the outage ends."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from app.ui import marks, theme
from app.ui.shell.lines_view import LINE_ROLE, Index, LinesModel, paint_ground, width_of
from app.ui.texts import text
from app.words import verdict_word
from ctcore.findings import Verdict

if TYPE_CHECKING:
    from app.desk.queue import QueueLine

_EXCEPTIONS: Final[tuple[Verdict, ...]] = ("outside", "refer", "not tested")
_TALL: Final = 86
_NEXT: Final = 19


def here_words(line: QueueLine) -> list[str]:
    """For how long a job has been here, and until when it can wait."""
    if line.here_hours >= 48:
        here = text("review.days_here", days=int(line.here_hours // 24))
    elif line.here_hours >= 1:
        here = text("review.hours_here", hours=int(line.here_hours))
    else:
        here = text("review.just_here")
    outage = text("review.outage", when=line.outage_text) if line.outage_text else ""
    return [part for part in (here, outage) if part]


class QueueModel(LinesModel):
    """Jobs that wait."""

    def words(self, line: QueueLine) -> str:
        """Number, title, state, what was found, how long it waits."""
        found = ", ".join(f"{line.counts[verdict]} {verdict_word(verdict)}" for verdict in line.counts)
        state = text(f"state.{line.state}")
        return f"{line.number_text} {line.title_text}, {state}: {found}. {' · '.join(here_words(line))}"


class QueueDelegate(QStyledItemDelegate):
    """Draws one job: name, marks of the exceptions, the wait."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Three lines."""
        line: QueueLine = index.data(LINE_ROLE)
        painter.save()
        room = paint_ground(painter, option, index)
        painter.setPen(theme.color("ink"))
        name = " ".join(part for part in (line.number_text, line.title_text) if part)
        _line(painter, QRectF(room.left(), room.top() - 3, room.width(), 24), name, role="value", bold=True)
        if line.state == "approved":
            words = text("review.to_issue")
            _line(painter, QRectF(room.left(), room.top() + 22, room.width(), 24), words, role="value")
        else:
            self._marks(painter, room, line)
        below = QRectF(room.left(), room.top() + 50, room.width(), 20)
        for words in here_words(line):
            _line(painter, below, words, role="second")
            below.translate(0, _NEXT)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As wide as the list, as tall as what is known of the wait."""
        line: QueueLine = index.data(LINE_ROLE)
        return QSize(width_of(option), _TALL + _NEXT * (len(here_words(line)) - 1))

    def _marks(self, painter: QPainter, room: QRectF, line: QueueLine) -> None:
        counted: list[tuple[Verdict, int]] = [
            (verdict, line.counts[verdict]) for verdict in _EXCEPTIONS if line.counts.get(verdict)
        ]
        if not counted:
            counted = [("within", line.counts.get("within", 0))]
        left = room.left()
        for verdict, count in counted[:2]:
            left = paint_counted(
                painter, QPointF(left, room.top() + 35), verdict, count, room.right(), size=10.0
            )


def paint_counted(
    painter: QPainter, at: QPointF, verdict: Verdict, count: int | None, most: float, *, size: float = 11.0
) -> float:
    """A mark with its count and word; returns where the next one can begin."""
    font = theme.font("second", bold=marks.is_bold(verdict))
    word = verdict_word(verdict)
    words = word if count is None else f"{count} {word}"
    wide = 2.1 * size + 4 + QFontMetricsF(font).horizontalAdvance(words) + 6
    box = QRectF(at.x(), at.y() - 11, min(wide, most - at.x()), 22)
    ink, center = theme.color("ink"), QPointF(at.x() + 1.05 * size + 2, at.y())
    if verdict == "outside":
        painter.fillRect(box, ink)
        marks.paint_reversed(painter, center, size)
        ink = theme.color("sheet")
    else:
        if verdict == "refer":
            marks.outline(painter, box, ink)
        marks.paint(painter, verdict, center, size, framed=False)
    painter.setPen(ink)
    painter.setFont(font)
    painter.drawText(box.adjusted(2.1 * size + 4, 0, 0, 0), Qt.AlignmentFlag.AlignVCenter, words)
    painter.setPen(theme.color("ink"))
    return box.right() + 6


def _line(painter: QPainter, box: QRectF, words: str, *, role: str, bold: bool = False) -> None:
    font: Any = theme.font(role, bold=bold)
    painter.setFont(font)
    shown = QFontMetricsF(font).elidedText(words, Qt.TextElideMode.ElideRight, box.width())
    painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, shown)
