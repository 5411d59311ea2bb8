"""A hook-up drawing on paper: the geometry of the core under the pen, as large as its room lets it."""

from __future__ import annotations

import math
from typing import Final

from app.report.fonts import BODY, BOLD
from app.report.pen import Pen
from ctcore.hookup import WORDS_TALL, Arc, Drawing

_THIN, _THICK = 0.8, 1.8
_STEP_DEG: Final = 12.0


def draw(pen: Pen, drawing: Drawing, x: float, y: float, width: float, height: float) -> None:
    """Draw into a box with its upper left corner at (x, y), in its middle, with one scale both ways."""
    scale = min(width / drawing.width, height / drawing.height)
    left = x + (width - scale * drawing.width) / 2.0
    top = y + (height - scale * drawing.height) / 2.0
    for stroke in drawing.strokes:
        points = [(left + scale * px, top + scale * py) for px, py in stroke.points]
        weight = _THICK if stroke.is_thick else _THIN
        if stroke.is_filled:
            pen.path(points, width=weight, closed=True, fill=0.0)
        else:
            pen.path(points, width=weight, dashes="fine" if stroke.is_dashed else "solid")
    for arc in drawing.arcs:
        pen.path([(left + scale * px, top + scale * py) for px, py in _along(arc)], width=_THIN)
    for words in drawing.words:
        align = "center" if words.align == "middle" else words.align
        font = BOLD if words.is_bold else BODY
        pen.text(
            left + scale * words.x, top + scale * words.y, words.text, font=font, size=scale * WORDS_TALL,
            align=align,
        )  # fmt: skip


def _along(arc: Arc) -> list[tuple[float, float]]:
    """Points along an arc, close enough that it looks round."""
    count = max(2, math.ceil(abs(arc.sweep_deg) / _STEP_DEG))
    angles = [math.radians(arc.start_deg + arc.sweep_deg * step / count) for step in range(count + 1)]
    return [(arc.x + arc.radius * math.cos(at), arc.y - arc.radius * math.sin(at)) for at in angles]
