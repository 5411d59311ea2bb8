"""The strip of steps across the page: number, name, mark and word; the open one tinted and ruled."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QSizePolicy, QWidget

from app.ui import marks, theme
from app.ui.marks import Mark
from app.ui.texts import text

STRIP_HEIGHT = 60
_LEAST_PX, _NAME_LEFT, _WORD_LEFT = 38, 10, 42
# Narrower than this a step shows its number over its mark, and no name.
_NAMED_PX = 66


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step of the core's plan."""

    procedure_id: str
    number: int
    name: str
    mark: Mark
    word: str
    is_open: bool


class StepButton(QAbstractButton):
    """One step to go to. In a tight strip the mark stands over the name, and only the open one has a word."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.line = StepLine("", 0, "", "not tested", "", False)
        self._is_tight = False
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(STRIP_HEIGHT)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def show_line(self, line: StepLine) -> None:
        """Stand for another step."""
        if line == self.line:
            return
        self.line = line
        self.setText(f"{line.number} {line.name}")
        self.setAccessibleName(text("steps.said", number=line.number, name=line.name, word=line.word))
        self.setAccessibleDescription(f"Alt+{line.number}")
        self.update()

    def show_tight(self, is_tight: bool, most_px: int) -> None:
        """Stand in a strip with or without room for every word; the open step takes at most so much."""
        least = min(self.wanted_px, most_px) if is_tight and self.line.is_open else _LEAST_PX
        if self.minimumWidth() != least:
            self.setMinimumWidth(least)
        if is_tight != self._is_tight:
            self._is_tight = is_tight
            self.update()

    @property
    def wanted_px(self) -> int:
        """The width in which number, name, mark and word are seen in full."""
        line = self.line
        name = QFontMetrics(theme.font("finding", bold=line.is_open)).horizontalAdvance(self.text())
        word = QFontMetrics(self._word_font()).horizontalAdvance(line.word)
        return max(name + _NAME_LEFT, word + _WORD_LEFT) + 8

    def _word_font(self) -> QFont:
        return theme.font("second", bold=self.line.is_open or marks.is_bold(self.line.mark))

    def sizeHint(self) -> QSize:
        """A ninth of the strip, or more."""
        return QSize(128, STRIP_HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """A number and a mark."""
        return QSize(_LEAST_PX, STRIP_HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, name, mark and word."""
        painter = QPainter(self)
        line = self.line
        painter.fillRect(self.rect(), theme.color("here_tint" if line.is_open else "sheet"))
        if line.is_open:
            painter.fillRect(QRect(0, self.height() - 5, self.width(), 5), theme.color("here"))
        painter.setPen(theme.color("hairline"))
        painter.drawLine(0, 9, 0, self.height() - 9)
        painter.setPen(theme.color("ink"))
        if self._is_tight and not line.is_open and self.width() < _NAMED_PX:
            painter.setFont(theme.font("second"))
            upper = QRect(0, 9, self.width(), 22)
            painter.drawText(upper, Qt.AlignmentFlag.AlignCenter, str(line.number))
            self._paint_mark(painter, QPointF(self.width() / 2 + 1, 42))
            return
        if self._is_tight and not line.is_open:
            self._write(painter, theme.font("label"), QRect(6, 31, self.width() - 8, 22), line.name)
            self._write(painter, theme.font("second"), QRect(6, 9, 22, 22), str(line.number))
            self._paint_mark(painter, QPointF(42, 20))
            return
        name = QRect(_NAME_LEFT, 9, self.width() - _NAME_LEFT - 4, 22)
        self._write(painter, theme.font("finding", bold=line.is_open), name, self.text())
        self._paint_mark(painter, QPointF(24, 42))
        painter.setPen(theme.color("ink"))
        word = QRect(_WORD_LEFT, 31, self.width() - _WORD_LEFT - 4, 22)
        self._write(painter, self._word_font(), word, line.word)

    @staticmethod
    def _write(painter: QPainter, font: QFont, box: QRect, words: str) -> None:
        painter.setFont(font)
        shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, shown)

    def _paint_mark(self, painter: QPainter, center: QPointF) -> None:
        ground = theme.color("here_tint" if self.line.is_open else "sheet")
        marks.paint(painter, self.line.mark, center, 12, ground=ground)


class StepsStrip(QWidget):
    """All steps of a core in the order of its plan."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._buttons: list[StepButton] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(0)
        self.setFixedHeight(STRIP_HEIGHT)
        self.setAccessibleName(text("steps.name"))

    @property
    def lines(self) -> tuple[StepLine, ...]:
        """The steps shown."""
        return tuple(button.line for button in self._buttons)

    def show_lines(self, lines: tuple[StepLine, ...]) -> None:
        """Show other steps."""
        while len(self._buttons) < len(lines):
            button = StepButton(self)
            button.clicked.connect(lambda _=False, its=button: self.chosen.emit(its.line.procedure_id))
            self._row.addWidget(button)
            self._buttons.append(button)
        while len(self._buttons) > len(lines):
            gone = self._buttons.pop()
            self._row.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        for button, line in zip(self._buttons, lines, strict=True):
            button.show_line(line)
        self._fit()

    def _fit(self) -> None:
        """Where one step has no room for its words, all but the open one go without a word."""
        share = self.width() // max(1, len(self._buttons))
        is_tight = any(button.wanted_px > share for button in self._buttons)
        most_px = max(self.width() - _LEAST_PX * (len(self._buttons) - 1), _LEAST_PX)
        for button in self._buttons:
            button.show_tight(is_tight, most_px)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width has room for more words, or for fewer."""
        super().resizeEvent(event)
        self._fit()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The sheet under the steps and the rule beneath."""
        QPainter(self).fillRect(self.rect(), theme.color("sheet"))
