"""The caution at its step: a full box before it was read, a band with the same figures afterwards.

Safety: it blocks nothing and says so; law, the owner's rules and the person in charge come first.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import theme
from app.ui.texts import text

BAND_HEIGHT = 46
_LINE_HEIGHT, _BAND_LEFT, _LOW_SCREEN = 20, 60, 560


@dataclass(frozen=True, slots=True)
class CautionLine:
    """One caution of a step: what can happen, what it does, what to do about it."""

    caution_id: str
    hazard_text: str
    can_do_text: str
    so_text: str
    read_by_text: str = ""

    @property
    def is_read(self) -> bool:
        """Whether somebody read it at this step."""
        return bool(self.read_by_text)


class CautionBox(QWidget):
    """Shows the first caution that was not read in full, or all read ones as a band."""

    read = Signal(str)
    left = Signal()
    folded = Signal()
    focus_changed = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: tuple[CautionLine, ...] = ()
        self._figures = ""
        self._reopened = 0
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.hide()
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def show_lines(self, lines: tuple[CautionLine, ...], figures_text: str = "") -> None:
        """Show other cautions; `figures_text` is what the band says first where there are figures."""
        if (lines, figures_text) == (self._lines, self._figures):
            return
        if lines != self._lines:
            self._reopened = 0
        self._lines, self._figures = lines, figures_text
        self._settle()

    @property
    def current(self) -> CautionLine | None:
        """The caution shown in full, or None where the band stands."""
        if self._reopened:
            return self._lines[self._reopened - 1]
        return next((line for line in self._lines if not line.is_read), None)

    def reopen(self) -> None:
        """Bring the next read caution back in full; after the last one the band."""
        if self._lines and (self._reopened or self.current is None):
            self._reopened = (self._reopened + 1) % (len(self._lines) + 1)
            self._settle()

    def _settle(self) -> None:
        self.setVisible(bool(self._lines))
        full = self.current is not None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if full else Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(text("caution.name"))
        self.setAccessibleDescription(self._said())
        self.folded.emit()
        self._fit()
        self.update()

    def _said(self) -> str:
        line = self.current
        if line is None:
            return " ".join(
                f"{entry.hazard_text} {entry.so_text} {entry.read_by_text}" for entry in self._lines
            )
        return " ".join((line.hazard_text, line.can_do_text, line.so_text, text("caution.defer")))

    # Sizes

    def _fit(self) -> None:
        line = self.current
        self.setFixedHeight(self._band_height() if line is None else self._full_height(line))

    def _band_height(self) -> int:
        """A line more where what to do does not fit into one, unless the screen is low."""
        if not self._lines or self.window().height() < _LOW_SCREEN:
            return BAND_HEIGHT
        wide = QFontMetrics(theme.font("second")).horizontalAdvance(self._to_do())
        return BAND_HEIGHT + (
            _LINE_HEIGHT if wide > self.width() - _BAND_LEFT - 6 - self._tail_width() else 0
        )

    def _to_do(self) -> str:
        return " ".join(line.so_text for line in self._lines)

    def _tail(self) -> str:
        return f"{self._lines[-1].read_by_text}  F5"

    def _tail_width(self) -> int:
        return QFontMetrics(theme.font("second")).horizontalAdvance(self._tail()) + 12

    def _full_height(self, line: CautionLine) -> int:
        return 8 + sum(self._part_height(words) for _, words in _parts(line)) + self._defer_height() + 8

    def _defer_height(self) -> int:
        metrics = QFontMetrics(theme.font("label"))
        flags = int(Qt.TextFlag.TextWordWrap)
        return (
            metrics.boundingRect(
                QRect(0, 0, max(self.width() - 92, 160), 999), flags, self._last_line()
            ).height()
            + 4
        )

    def _part_height(self, words: str) -> int:
        metrics = QFontMetrics(theme.font("finding", bold=True))
        box = QRect(0, 0, max(self.width() - 158, 120), 999)
        return max(22, metrics.boundingRect(box, int(Qt.TextFlag.TextWordWrap), words).height() + 3)

    def _last_line(self) -> str:
        unread = [line for line in self._lines if not line.is_read]
        key = text("caution.close") if self._reopened else text("caution.enter")
        more = text("caution.more", count=len(unread) - 1) if len(unread) > 1 and not self._reopened else ""
        return " ".join(part for part in (text("caution.defer"), key, more) if part)

    # Qt

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The words may want another number of lines."""
        super().resizeEvent(event)
        self._fit()

    def sizeHint(self) -> QSize:
        """As tall as the words."""
        return QSize(300, self.height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter says that it was read; everything else goes to the page."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current is not None:
            self.answer()
        else:
            event.ignore()

    def answer(self) -> None:
        """Say that the caution shown was read, or close one that was opened again."""
        line = self.current
        if line is None:
            return
        if self._reopened:
            self._reopened = 0
            self._settle()
            self.left.emit()
        else:
            self.read.emit(line.caution_id)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch takes the focus; a second one says that it was read. On the band it opens the box."""
        if self.current is None:
            self.reopen()
        elif self.hasFocus():
            self.answer()
        else:
            self.setFocus(Qt.FocusReason.MouseFocusReason)
        event.accept()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the frame of the focus."""
        super().focusInEvent(event)
        self.focus_changed.emit(True)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the frame away."""
        super().focusOutEvent(event)
        self.focus_changed.emit(False)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Yellow ground, black frame or bar, triangle and words."""
        if not self._lines:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), theme.color("danger"))
        ink = theme.color("danger_ink")
        line = self.current
        if line is None:
            self._paint_band(painter)
        else:
            self._paint_full(painter, line)
            # The yellow is light by day and by night: the plum of the day stands out on both.
            pen = QPen(QColor(theme.DAY.here) if self.hasFocus() else ink, 4)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(2, 2, -2, -2))

    def _paint_band(self, painter: QPainter) -> None:
        ink = theme.color("danger_ink")
        painter.fillRect(QRect(0, 0, 8, self.height()), ink)
        _triangle(painter, QPointF(34, self.height() / 2), 28)
        painter.setPen(ink)
        left, wide = _BAND_LEFT, self.width() - _BAND_LEFT - 6
        upper = self._figures or " ".join(line.hazard_text for line in self._lines)
        painter.setFont(theme.font("second", bold=True))
        _elided(painter, QRect(left, 3, wide, _LINE_HEIGHT), upper)
        painter.setFont(theme.font("second"))
        first, rest = self._to_do(), ""
        if self.height() > BAND_HEIGHT:
            first, rest = _broken(painter.fontMetrics(), first, wide)
        last = QRect(left, self.height() - BAND_HEIGHT + 23, wide, _LINE_HEIGHT)
        if rest:
            painter.drawText(QRect(left, 23, wide, _LINE_HEIGHT), Qt.AlignmentFlag.AlignVCenter, first)
        _elided(painter, last.adjusted(0, 0, -self._tail_width(), 0), rest or first)
        painter.drawText(last, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, self._tail())

    def _paint_full(self, painter: QPainter, line: CautionLine) -> None:
        ink = theme.color("danger_ink")
        _triangle(painter, QPointF(38, 40), 44)
        top = 8
        for name, words in _parts(line):
            tall = self._part_height(words)
            painter.setPen(ink)
            painter.setFont(theme.font("finding"))
            painter.drawText(QRect(80, top, 62, 22), Qt.AlignmentFlag.AlignVCenter, name)
            painter.setFont(theme.font("finding", bold=True))
            box = QRect(148, top + 1, self.width() - 158, tall)
            painter.drawText(box, int(Qt.TextFlag.TextWordWrap), words)
            top += tall
        painter.setFont(theme.font("label"))
        box = QRect(80, top + 2, self.width() - 92, self._defer_height())
        painter.drawText(box, int(Qt.TextFlag.TextWordWrap), self._last_line())


def _parts(line: CautionLine) -> tuple[tuple[str, str], ...]:
    """The named parts that have something to say."""
    parts = (
        (text("caution.hazard"), line.hazard_text),
        (text("caution.can_do"), line.can_do_text),
        (text("caution.so"), line.so_text),
    )
    return tuple(part for part in parts if part[1])


def _broken(metrics: QFontMetrics, words: str, wide: int) -> tuple[str, str]:
    """As many words as fit into a line, and the rest."""
    spaces = [at for at, sign in enumerate(words) if sign == " "]
    at = max((at for at in spaces if metrics.horizontalAdvance(words[:at]) <= wide), default=0)
    return (words[:at], words[at + 1 :]) if at else (words, "")


def _elided(painter: QPainter, box: QRect, words: str) -> None:
    shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, box.width())
    painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, shown)


def _triangle(painter: QPainter, center: QPointF, tall: float) -> None:
    half = tall * 0.57
    ink = theme.color("danger_ink")
    pen = QPen(ink, max(2.4, tall / 16))
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolygon(
        QPolygonF(
            [
                center - QPointF(0, tall / 2),
                center + QPointF(half, tall / 2),
                center + QPointF(-half, tall / 2),
            ]
        )
    )
    font = theme.font("reading", bold=True)
    font.setPixelSize(int(tall * 0.64))
    painter.setFont(font)
    box = QRect(int(center.x() - 20), int(center.y() - tall * 0.28), 40, int(tall * 0.8))
    painter.drawText(box, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter, "!")
