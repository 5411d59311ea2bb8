"""Verdict marks as vectors: the brackets are the limits, the dot is the value. None has a colour."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.ui import theme
from app.words import verdict_word

Mark = Literal["within", "outside", "refer", "not tested", "not applicable", "being keyed"]
MARKS: Final[tuple[Mark, ...]] = (
    "within", "outside", "refer", "not tested", "not applicable", "being keyed",
)  # fmt: skip
# Shares of the height of a mark, as drawn in its design of 24 px.
WIDTH_RATIO: Final = 1.5
FRAMED_WIDTH_RATIO: Final = 2.1
_BOLD: Final = ("outside", "refer")


def is_bold(mark: Mark) -> bool:
    """Whether the word beside the mark stands in bold."""
    return mark in _BOLD


def width(mark: Mark, height: float) -> float:
    """Width of the mark's drawing at that height of its brackets."""
    return height * (FRAMED_WIDTH_RATIO if is_bold(mark) else WIDTH_RATIO)


def paint(
    painter: QPainter,
    mark: Mark,
    center: QPointF,
    height: float,
    *,
    framed: bool = True,
    ground: QColor | None = None,
) -> None:
    """Draw a mark around `center` with brackets of that height; `framed` draws its block or frame too."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    ink, paper = theme.color("ink"), ground or theme.color("sheet")
    if mark == "outside":
        if framed:
            painter.fillRect(_block(center, height), ink)
            ink, paper = paper, ink
        _outside(painter, center, height, ink)
    elif mark == "refer":
        if framed:
            _frame(painter, center, height, ink, paper)
        _refer(painter, center, height, ink, paper)
    elif mark == "not applicable":
        _line(
            painter,
            ink,
            height * 0.133,
            center + QPointF(-0.4 * height, 0),
            center + QPointF(0.4 * height, 0),
        )
    else:
        _between(painter, mark, center, height, theme.color("here") if mark == "being keyed" else ink)
    painter.restore()


def _block(center: QPointF, height: float) -> QRectF:
    return QRectF(center.x() - 1.05 * height, center.y() - 0.8 * height, 2.1 * height, 1.6 * height)


def _frame(painter: QPainter, center: QPointF, height: float, ink: QColor, paper: QColor) -> None:
    stroke = max(1.8, height * 0.127)
    box = _block(center, height).adjusted(stroke / 2, stroke / 2, -stroke / 2, -stroke / 2)
    painter.fillRect(box, paper)
    pen = QPen(ink, stroke)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)


def _line(painter: QPainter, ink: QColor, stroke: float, start: QPointF, end: QPointF) -> None:
    painter.setPen(QPen(ink, max(1.5, stroke), Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
    painter.drawLine(start, end)


def _bracket(painter: QPainter, ink: QColor, x: float, y: float, height: float, foot: float) -> None:
    """A bracket standing at x, its feet `foot` wide: to the right where positive."""
    pen = QPen(ink, max(1.5, height * 0.133), Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = height / 2
    painter.drawPolyline(
        QPolygonF(
            [
                QPointF(x + foot, y - half),
                QPointF(x, y - half),
                QPointF(x, y + half),
                QPointF(x + foot, y + half),
            ]
        )
    )


def _between(painter: QPainter, mark: Mark, center: QPointF, height: float, ink: QColor) -> None:
    x, y, foot = center.x(), center.y(), 0.213 * height
    _bracket(painter, ink, x - 0.733 * height, y, height, foot)
    _bracket(painter, ink, x + 0.733 * height, y, height, -foot)
    if mark == "within":
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        painter.drawEllipse(center, 0.293 * height, 0.293 * height)
    elif mark == "being keyed":
        half = 0.333 * height
        _line(painter, ink, height * 0.173, center + QPointF(0, -half), center + QPointF(0, half))


def _outside(painter: QPainter, center: QPointF, height: float, ink: QColor) -> None:
    x, y, tall, foot = center.x(), center.y(), 0.933 * height, 0.213 * height
    _bracket(painter, ink, x - 0.767 * height, y, tall, foot)
    _bracket(painter, ink, x, y, tall, -foot)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    painter.drawEllipse(QPointF(x + 0.533 * height, y), 0.287 * height, 0.287 * height)


def _refer(painter: QPainter, center: QPointF, height: float, ink: QColor, paper: QColor) -> None:
    x, y = center.x(), center.y()
    _bracket(painter, ink, x - 0.7 * height, y, 0.933 * height, 0.213 * height)
    limit = QPointF(x + 0.333 * height, y)
    half = QPointF(0, 0.533 * height)
    _line(painter, ink, height * 0.133, limit - half, limit + half)
    painter.setPen(QPen(ink, max(1.5, height * 0.133)))
    painter.setBrush(paper)
    painter.drawEllipse(limit, 0.293 * height, 0.293 * height)


class MarkLabel(QLabel):
    """A verdict mark, with its word beside it or, alone, with the word as accessible text."""

    def __init__(
        self, mark: Mark = "not tested", *, worded: bool = True, word: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._mark: Mark = mark
        self._worded = worded
        self._word = word
        self.mark_height = 13
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._tell()

    @property
    def mark(self) -> Mark:
        """The mark that is shown."""
        return self._mark

    @property
    def word(self) -> str:
        """The word beside the mark; the verdict's own unless another was given."""
        return self._word or verdict_word(self._mark)

    def set_mark(self, mark: Mark, word: str = "") -> None:
        """Show another mark, with another word where one is given."""
        self._mark, self._word = mark, word
        self._tell()
        self.updateGeometry()
        self.update()

    def _tell(self) -> None:
        self.setAccessibleName(self._mark if self.word == self._mark else f"{self._mark}: {self.word}")

    def sizeHint(self) -> QSize:
        """As wide as mark and word, with room for frame or block."""
        wide = 2.1 * self.mark_height
        if self._worded:
            wide += 4 + QFontMetricsF(self._font()).horizontalAdvance(self.word) + 8
        return QSize(int(wide) + 2, int(1.8 * self.mark_height) + 2)

    def minimumSizeHint(self) -> QSize:
        """Never smaller than the words."""
        return self.sizeHint()

    def _font(self) -> QFont:
        return theme.font("value", bold=is_bold(self._mark))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw mark and word; outside is a filled block around both, refer a heavy frame around both."""
        painter = QPainter(self)
        tall, middle = float(self.mark_height), self.height() / 2
        center = QPointF(1.05 * tall + 1, middle)
        if not self._worded:
            paint(painter, self._mark, QPointF(self.width() / 2, middle), tall)
            return
        ink, paper = theme.color("ink"), theme.color("sheet")
        box = QRectF(0, 0, self.width(), self.height())
        if self._mark == "outside":
            painter.fillRect(box, ink)
            paint_reversed(painter, center, tall)
            ink = paper
        else:
            if self._mark == "refer":
                outline(painter, box, ink)
            paint(painter, self._mark, center, tall, framed=False)
        painter.setPen(ink)
        painter.setFont(self._font())
        painter.drawText(
            QRectF(2.1 * tall + 5, 0, self.width(), self.height()), Qt.AlignmentFlag.AlignVCenter, self.word
        )


def paint_reversed(painter: QPainter, center: QPointF, height: float) -> None:
    """The drawing of "outside" in the colour of the sheet, for a block that was filled before."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _outside(painter, center, height, theme.color("sheet"))
    painter.restore()


def outline(painter: QPainter, box: QRectF, ink: QColor) -> None:
    """The heavy frame of "refer" around mark and word."""
    pen = QPen(ink, 2)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.drawRect(box.adjusted(1, 1, -1, -1))
