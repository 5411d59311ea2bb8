"""The read-back line: place, figures and units in letters of 30 points, for two people across a table."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRect, QSize, Qt, QTimer
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.ui import theme
from app.ui.shell.announcing import announce
from app.ui.texts import text

_GAP = 34
_PLACE_WIDTH = 230
# 20 points: what two people still read across a table.
_LEAST_PX = 27
# Spoken once the hand rests, not at each key, which a screen reader speaks by itself.
_REST_MS = 600


@dataclass(frozen=True, slots=True)
class Said:
    """One figure with its unit; the one being keyed is bold."""

    words: str
    is_current: bool = False


class ReadBack(QLabel):
    """Place to the left, figures beside it; letters shrink only where the width forces them to, and a figure
    is left out only where they would be too small to read."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.place = self.row = ""
        self.figures: tuple[Said, ...] = ()
        self.shown: tuple[Said, ...] = ()
        self._rest = QTimer(self, singleShot=True, interval=_REST_MS)
        self._rest.timeout.connect(lambda: announce(self, self.accessibleDescription()))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def show_values(self, place: str, row: str, figures: tuple[Said, ...]) -> None:
        """Read back other values."""
        if (place, row, figures) == (self.place, self.row, self.figures):
            return
        self.place, self.row, self.figures = place, row, figures
        self.setAccessibleName(text("readback.head"))
        said = f"{place}, {row}: {', '.join(said.words for said in figures)}"
        self.setAccessibleDescription(said)
        self._rest.start()
        self.update()

    def sizeHint(self) -> QSize:
        """The bar's height."""
        return QSize(420, theme.density().main_button)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw place and figures."""
        painter = QPainter(self)
        painter.setPen(theme.color("label"))
        painter.setFont(theme.font("second"))
        middle = self.height() // 2
        painter.drawText(
            QRect(12, middle - 26, 220, 20), Qt.AlignmentFlag.AlignVCenter, text("readback.head")
        )
        painter.setPen(theme.color("ink"))
        words = f"{self.place}, {self.row}" if self.row else self.place
        room = max(_PLACE_WIDTH, self.width() - self._natural_width() - 24)
        painter.setFont(theme.font("heading", bold=True))
        if painter.fontMetrics().horizontalAdvance(words) > room:
            painter.setFont(theme.font("finding", bold=True))
        shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, room)
        painter.drawText(QRect(12, middle - 4, room + 8, 28), Qt.AlignmentFlag.AlignVCenter, shown)
        self._paint_figures(painter, max(190, painter.fontMetrics().horizontalAdvance(shown)) + 34)

    def _natural_width(self) -> int:
        """What the figures take where nothing forces them to be smaller."""
        fonts = {current: theme.font("read_back", bold=current) for current in (False, True)}
        return sum(_widths(fonts, list(self.figures))) + (_GAP + 12) * len(self.figures)

    def _paint_figures(self, painter: QPainter, left: int) -> None:
        shown = list(self.figures)
        size = theme.SIZES_PX["read_back"]
        fonts = {current: theme.font("read_back", bold=current) for current in (False, True)}
        room = self.width() - left - 10
        wide = _widths(fonts, shown)
        while len(shown) > 1 and _LEAST_PX / size * sum(wide) + _GAP * (len(shown) - 1) > room:
            shown.pop(-1 if shown[0].is_current else 0)
            wide = _widths(fonts, shown)
        gaps = _GAP * max(0, len(shown) - 1)
        if sum(wide) + gaps > room > 0:
            for font in fonts.values():
                font.setPixelSize(max(_LEAST_PX, int(size * (room - gaps) / sum(wide))))
            wide = _widths(fonts, shown)
        self.shown = tuple(shown)
        for said, width in zip(shown, wide, strict=True):
            painter.setFont(fonts[said.is_current])
            painter.drawText(
                QRect(left, 0, width + 8, self.height()), Qt.AlignmentFlag.AlignVCenter, said.words
            )
            left += width + _GAP


def _widths(fonts: dict, shown: list[Said]) -> list[int]:
    return [QFontMetrics(fonts[said.is_current]).horizontalAdvance(said.words) for said in shown]
