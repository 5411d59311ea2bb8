"""The legend of a chart: every series with its line and mark, in as many lines as the width asks for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from app.ui import theme
from app.ui.plots import layers, markers

if TYPE_CHECKING:
    from app.ui.plots.chart import Series

LINE_PX = 22
_LEFT_PX, _SAMPLE_PX, _GAP_PX = 12.0, 30.0, 16.0


def laid_out(
    series: Sequence[Series], last_words: str, wide_px: float, *, stacked: bool = False
) -> list[tuple[QPointF, Series | str]]:
    """Where each series stands, from the left end of its sample; what is not drawn is told at the end.

    Stacked, each one begins a line of its own and goes on in the next where it is too long.
    """
    parts = _parts(series, last_words)
    made: list[tuple[QPointF, Series | str]] = []
    if stacked:
        top = 0
        for part, wide in parts:
            made.append((QPointF(_LEFT_PX, top + LINE_PX / 2), part))
            top += LINE_PX * (1 if _LEFT_PX + wide <= wide_px else 2)
        return made
    left, line = _LEFT_PX, 0
    for part, wide in parts:
        if left > _LEFT_PX and left + wide > wide_px - 8:
            left, line = _LEFT_PX, line + 1
        made.append((QPointF(left, line * LINE_PX + LINE_PX / 2), part))
        left += wide + _GAP_PX
    return made


def _parts(series: Sequence[Series], last_words: str) -> list[tuple[Series | str, float]]:
    """What is told, each with its width."""
    metrics = QFontMetricsF(theme.font("second"))
    parts: list[tuple[Series | str, float]] = [
        (one, _SAMPLE_PX + 6 + metrics.horizontalAdvance(one.words)) for one in series if one.words
    ]
    if last_words:
        parts.append((last_words, metrics.horizontalAdvance(last_words)))
    return parts


def least_wide_px(series: Sequence[Series], last_words: str) -> float:
    """How wide the legend is with each series in a line of its own."""
    return 2 * _LEFT_PX + max((wide for _, wide in _parts(series, last_words)), default=0.0)


def tall_px(series: Sequence[Series], last_words: str, wide_px: float) -> int:
    """How tall the legend is at a width."""
    places = laid_out(series, last_words, wide_px)
    return LINE_PX * (1 + int((places[-1][0].y()) // LINE_PX)) if places else LINE_PX


def paint(
    painter: QPainter, box: QRectF, series: Sequence[Series], last_words: str, *, stacked: bool
) -> None:
    """Draw the legend into a box; stacked it has a line for each series, or two where one is too short."""
    metrics = QFontMetricsF(theme.font("second"))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(theme.font("second"))
    for place, part in laid_out(series, last_words, box.width(), stacked=stacked):
        at = place + box.topLeft()
        words, beside = (part, 0.0) if isinstance(part, str) else (part.words, _SAMPLE_PX + 6)
        if not isinstance(part, str):
            _sample(painter, at, part)
        painter.setPen(theme.color("ink"))
        room = max(box.right() - at.x() - beside, 0.0)
        line = QRectF(at.x() + beside, at.y() - LINE_PX / 2, room, LINE_PX)
        whole, rest = _broken(words, metrics, room) if stacked else (words, "")
        for part_of_it in filter(None, (whole, rest)):
            cut = metrics.elidedText(part_of_it, Qt.TextElideMode.ElideRight, room)
            painter.drawText(line, Qt.AlignmentFlag.AlignVCenter, cut)
            line.translate(0.0, LINE_PX)


def _broken(words: str, metrics: QFontMetricsF, room_px: float) -> tuple[str, str]:
    """Words in one line, or in two broken before their figures, else where they are too long."""
    if metrics.horizontalAdvance(words) <= room_px:
        return words, ""
    first, sign, rest = words.partition(": ")
    if rest and metrics.horizontalAdvance(first + sign) <= room_px:
        return first + sign.rstrip(), rest
    spaces = [at for at, letter in enumerate(words) if letter == " "]
    fitting = [at for at in spaces if metrics.horizontalAdvance(words[:at]) <= room_px]
    at = max(fitting, default=len(words))
    return words[:at], words[at + 1 :]


def _sample(painter: QPainter, at: QPointF, series: Series) -> None:
    """A piece of its line with its mark in the middle."""
    pen = layers.phase_pen(series.phase_index, 2.4 if series.in_hand else 1.8)
    painter.setPen(pen)
    painter.drawLine(at, at + QPointF(_SAMPLE_PX, 0))
    if series.marks == "none":
        return
    filled = pen.color() if series.in_hand else theme.color("sheet")
    middle = [at + QPointF(_SAMPLE_PX / 2, 0)]
    markers.draw(painter, middle, layers.symbol_of(series.phase_index), 10.0, QPen(pen.color(), 2.0), filled)
