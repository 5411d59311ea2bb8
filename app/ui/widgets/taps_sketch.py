"""A sketch of a tapped winding: its leads in order, and the turns from each to the next."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import theme
from app.ui.texts import text

_TALL_PX: Final = 84
_EDGE_PX: Final = 26.0
_LEAST_PX: Final = 46.0
_LOOP_PX: Final = 12.0


class TapsSketch(QWidget):
    """Leads above, turns beneath; sections as long as their turns, but never too short to read."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._turns: tuple[float, ...] = ()
        self._letter = ""
        self.setFixedHeight(_TALL_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(text("sections.sketch"))
        self.hide()

    def show_winding(self, turns: tuple[float, ...], letter: str) -> None:
        """Draw these sections; nothing where there are none yet."""
        good = turns if all(count > 0.0 for count in turns) else ()
        self._turns, self._letter = good, letter
        self.setVisible(bool(good))
        names = self.leads()
        said = [
            f"{first}–{last} {count:g}" for (first, last), count in zip(pairwise(names), good, strict=True)
        ]
        self.setAccessibleDescription(", ".join(said))
        self.update()

    def leads(self) -> list[str]:
        """The names of the leads, from the first on."""
        return [f"{self._letter}{number}" for number in range(1, len(self._turns) + 2)] if self._turns else []

    def places(self) -> list[float]:
        """Where the leads stand, in pixels from the left."""
        room = max(self.width() - 2 * _EDGE_PX, 1.0)
        least = min(_LEAST_PX, room / max(len(self._turns), 1))
        spare, total = room - least * len(self._turns), sum(self._turns)
        made = [_EDGE_PX]
        for count in self._turns:
            made.append(made[-1] + least + spare * count / total)
        return made

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Loops between the leads, the names over them, the turns under them."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, places = theme.color("ink"), self.places()
        for (left, right), count in zip(pairwise(places), self._turns, strict=False):
            painter.setPen(QPen(ink, 2.0))
            painter.drawPath(_loops(left, right))
            _write(painter, QRectF(left, 58, right - left, 20), f"{count:g}", theme.font("value"))
        for x, name in zip(places, self.leads(), strict=False):
            painter.setPen(QPen(ink, 2.0))
            painter.drawLine(QPointF(x, 24), QPointF(x, 48))
            _write(painter, QRectF(x - 30, 2, 60, 20), name, theme.font("second", bold=True))


def _loops(left: float, right: float) -> QPainterPath:
    """A winding from lead to lead: half circles beneath its line."""
    count = max(1, round((right - left) / _LOOP_PX))
    wide = (right - left) / count
    path = QPainterPath(QPointF(left, 48))
    for number in range(count):
        path.arcTo(QRectF(left + number * wide, 48 - wide / 2, wide, wide), 180.0, 180.0)
    return path


def _write(painter: QPainter, box: QRectF, words: str, font: QFont) -> None:
    painter.setFont(font)
    shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, int(box.width()))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, shown)
