"""The legend and the knee table that lie on the paper, drawn with the same pens as the curves."""

from __future__ import annotations

from typing import Final, Literal, get_args

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPen, QTransform

from app.ui import theme
from app.ui.plots import layers
from app.ui.plots.content import KNEES, CurveLine, PlotContent
from app.ui.texts import text
from app.words import figures

_ROW_PX = 21
_SAMPLE_PX = 38
_MOST_LINES = 7


LegendDetail = Literal["all", "curves", "phases"]
LEGEND_DETAILS: Final[tuple[LegendDetail, ...]] = get_args(LegendDetail)


class Legend:
    """One line per curve, the one in hand first."""

    def __init__(self, content: PlotContent, *, detail: LegendDetail = "all") -> None:
        self._content = content
        self._brief = detail == "phases"
        self._has_duty = detail == "all"

    def _curves(self) -> list[CurveLine]:
        found = sorted(self._content.curves, key=lambda curve: curve.kind != "hand")
        return found if len(found) <= _MOST_LINES else found[: _MOST_LINES - 1]

    def _lines(self) -> list[str]:
        """The words of each curve; in brief the phase alone."""
        curves = self._curves()
        lines = [(self._brief and curve.phase_text) or curve.words for curve in curves]
        more = len(self._content.curves) - len(curves)
        if more:
            lines.append(text("plot.more", count=more))
        return lines

    def _marks(self) -> list[str]:
        """Lines for what is no curve: duty points with their figures, and readings that were left out."""
        lines = [point.words for point in self._content.duty] if self._has_duty else []
        if self._content.left_out_count:
            lines.append(text("plot.left_out", count=self._content.left_out_count))
        return lines

    def _all_lines(self) -> list[str]:
        return [*self._lines(), *self._marks()] if self._content.curves else [text("plot.empty")]

    @property
    def look(self) -> tuple[object, ...]:
        """All that its picture depends on, but for the theme."""
        return tuple((curve.kind, curve.phase_index) for curve in self._curves()), tuple(self._all_lines())

    def size(self) -> QSize:
        """As wide as the widest line."""
        curves = self._curves()
        hands = [curve.kind == "hand" for curve in curves]
        metrics = {bold: QFontMetrics(theme.font("second", bold=bold)) for bold in (False, True)}
        wide = max(
            metrics[index < len(hands) and hands[index]].horizontalAdvance(line)
            for index, line in enumerate(self._all_lines())
        )
        return QSize(_SAMPLE_PX + 11 + wide, 4 + (_ROW_PX + 2) * len(self._all_lines()))

    def paint(self, painter: QPainter, place: QRect) -> None:
        """Draw samples and words on the sheet."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(place, theme.color("sheet"))
        painter.translate(place.topLeft())
        curves = self._curves()
        for index, words in enumerate(self._all_lines()):
            middle = 2 + (index + 0.5) * (_ROW_PX + 2)
            hand = False
            if index < len(curves):
                _sample(painter, curves[index], middle)
                hand = curves[index].kind == "hand"
            elif 0 <= index - len(self._lines()) < len(self._content.duty) and self._has_duty:
                layers.paint_duty(painter, QPointF((_SAMPLE_PX + 3) / 2, middle), 0.8)
            painter.setPen(theme.color("ink"))
            painter.setFont(theme.font("second", bold=hand))
            left = _SAMPLE_PX + 8 if curves else 4
            box = QRectF(left, middle - 12, place.width() - left, 24)
            shown = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideMiddle, int(box.width()))
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, shown)
        painter.restore()


def _sample(painter: QPainter, curve: CurveLine, middle: float) -> None:
    painter.setPen(layers.line_pen(curve))
    painter.drawLine(QPointF(3, middle), QPointF(_SAMPLE_PX, middle))
    symbol, outline, filled, size = layers.marker(curve)
    painter.setPen(QPen(outline, 2))
    painter.setBrush(filled)
    grown = QTransform.fromScale(size, size).map(symbol)
    painter.drawPath(grown.translated((_SAMPLE_PX + 3) / 2, middle))


class KneeTable:
    """Three definitions by phases, with the expanded uncertainty; a dash where the readings do not reach."""

    def __init__(self, content: PlotContent) -> None:
        self._content = content

    def _curves(self) -> list[CurveLine]:
        phases = [curve for curve in self._content.curves if curve.kind in ("hand", "sister")]
        return sorted(phases, key=lambda curve: (curve.phase_index, curve.phase_text))

    def rows(self) -> list[list[str]]:
        """The table as texts: a head and a line per definition."""
        curves = self._curves()
        lines = [[text("plot.knee_head"), *(curve.phase_text for curve in curves), "±"]]
        for name, words in KNEES:
            marks = [curve.knee(name) for curve in curves]
            known = [mark.u_expanded_v for mark in marks if mark and mark.u_expanded_v is not None]
            spread = figures.text(max(known), "V", significant=1) if known else figures.NOTHING
            shown = [
                figures.text(mark.voltage_v, "V", significant=3) if mark else figures.NOTHING
                for mark in marks
            ]
            lines.append([words, *shown, spread])
        return lines

    def _missing(self) -> bool:
        return any(curve.knee(name) is None for curve in self._curves() for name, _ in KNEES)

    def size(self) -> QSize:
        """Room for every phase and the note beneath."""
        return QSize(66 + 42 * (len(self._curves()) + 1) + 8, 30 + 19 * 3 + (20 if self._missing() else 4))

    def paint(self, painter: QPainter, place: QRect) -> None:
        """Draw the table on the sheet with a thin frame."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.fillRect(place, theme.color("sheet"))
        painter.translate(place.topLeft())
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(theme.color("border"))
        painter.drawRect(0, 0, place.width() - 1, place.height() - 1)
        painter.drawLine(0, 27, place.width() - 1, 27)
        painter.setPen(theme.color("ink"))
        for index, line in enumerate(self.rows()):
            middle = 14 if index == 0 else 39 + 19 * (index - 1)
            painter.setFont(theme.font("label" if index == 0 else "second", bold=index <= 1))
            self._draw_line(painter, line, middle)
        if self._missing():
            painter.setFont(theme.font("label"))
            painter.drawText(8, 30 + 19 * 3 + 14, text("plot.not_reached"))
        painter.restore()

    def _draw_line(self, painter: QPainter, line: list[str], middle: int) -> None:
        box = QRectF(8, middle - 11, 70, 22)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, line[0])
        for column, words in enumerate(line[1:]):
            cell = QRectF(58 + 42 * column, middle - 11, 42, 22)
            painter.drawText(cell, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight, words)
