"""The strip of steps across the page: number, name, mark and word; the open one tinted and ruled."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QSizePolicy, QWidget

from app.ui import marks, theme
from app.ui.marks import Mark
from app.ui.texts import text

STRIP_HEIGHT = 60


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
    """One step to go to."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.line = StepLine("", 0, "", "not tested", "", False)
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

    def sizeHint(self) -> QSize:
        """A ninth of the strip, or more."""
        return QSize(128, STRIP_HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Narrow enough for nine steps on a small screen."""
        return QSize(84, STRIP_HEIGHT)

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
        painter.setFont(theme.font("finding", bold=line.is_open))
        box = QRect(10, 9, self.width() - 14, 22)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self.text())
        self._paint_mark(painter)

    def _paint_mark(self, painter: QPainter) -> None:
        line = self.line
        ground = theme.color("here_tint" if line.is_open else "sheet")
        marks.paint(painter, line.mark, QPointF(24, 42), 12, ground=ground)
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("second", bold=line.is_open or marks.is_bold(line.mark)))
        painter.drawText(QRect(42, 31, self.width() - 46, 22), Qt.AlignmentFlag.AlignVCenter, line.word)


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

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The sheet under the steps and the rule beneath."""
        QPainter(self).fillRect(self.rect(), theme.color("sheet"))
