"""The verdict marks as lines: the brackets are the limits, the dot is the value. No glyph, no colour."""

from __future__ import annotations

from collections.abc import Sequence

from app.report.blocks import BODY_SIZE, Align, Block
from app.report.fonts import BODY, BOLD, face
from app.report.pen import Pen
from app.words import verdict_word
from ctcore.findings import Verdict

MARK_HEIGHT = 9.0
MARK_WIDTH = 14.5
_FRAMED: dict[Verdict, str] = {"outside": "block", "refer": "frame"}


def draw_mark(pen: Pen, verdict: Verdict, x: float, y: float, *, scale: float = 1.0) -> None:
    """One mark with its middle at (x, y)."""
    if verdict == "within":
        _bracket(pen, x - 4.2 * scale, y, 1, scale)
        _bracket(pen, x + 4.2 * scale, y, -1, scale)
        pen.disc(x, y, 1.7 * scale, fill=0.0)
    elif verdict == "outside":
        pen.box(x - 7.0 * scale, y - 4.6 * scale, 14.0 * scale, 9.2 * scale, width=0.2, fill=0.0)
        _bracket(pen, x - 5.2 * scale, y, 1, scale, white=1.0)
        _bracket(pen, x + 0.6 * scale, y, -1, scale, white=1.0)
        pen.disc(x + 4.2 * scale, y, 1.7 * scale, fill=1.0, white=1.0)
    elif verdict == "refer":
        pen.box(x - 7.0 * scale, y - 4.6 * scale, 14.0 * scale, 9.2 * scale, width=1.1)
        _bracket(pen, x - 4.6 * scale, y, 1, scale * 0.86)
        pen.line(x + 1.2 * scale, y - 3.4 * scale, x + 1.2 * scale, y + 3.4 * scale, width=0.8 * scale)
        pen.disc(x + 1.2 * scale, y, 1.7 * scale, width=0.9 * scale, fill=1.0)
    elif verdict == "not tested":
        _bracket(pen, x - 4.2 * scale, y, 1, scale)
        _bracket(pen, x + 4.2 * scale, y, -1, scale)
    else:
        pen.line(x - 3.0 * scale, y, x + 3.0 * scale, y, width=1.0 * scale)


def _bracket(pen: Pen, x: float, y: float, way: int, scale: float, *, white: float = 0.0) -> None:
    tall, deep = 3.7 * scale, 1.7 * scale * way
    pen.path(
        [(x + deep, y - tall), (x, y - tall), (x, y + tall), (x + deep, y + tall)],
        width=1.0 * scale,
        white=white,
    )


class Marks(Block):
    """A row of marks, one for each phase; None leaves its place empty."""

    def __init__(self, verdicts: Sequence[Verdict | None], *, step: float = MARK_WIDTH + 1.5) -> None:
        self.verdicts = tuple(verdicts)
        self.step = step

    def height(self, width: float) -> float:
        return MARK_HEIGHT + 1.6

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        for number, verdict in enumerate(self.verdicts):
            if verdict is not None:
                draw_mark(pen, verdict, x + MARK_WIDTH / 2 + number * self.step, top + self.height(width) / 2)


class MarkedWord(Block):
    """Marks with the word of the worst behind them; outside and refer in bold. None leaves a place empty."""

    def __init__(
        self,
        verdicts: Sequence[Verdict | None],
        word: Verdict,
        *,
        size: float = BODY_SIZE,
        align: Align = "left",
    ) -> None:
        self.verdicts = tuple(verdicts)
        self.word = word
        self.size = size
        self.align = align

    def _font(self) -> str:
        return BOLD if self.word in _FRAMED else BODY

    def _length(self) -> float:
        scale = self.size / BODY_SIZE
        marks = len(self.verdicts) * (MARK_WIDTH + 1.0) * scale
        return marks + 2.5 + face(self._font()).width(verdict_word(self.word), self.size)

    def height(self, width: float) -> float:
        return self.size * 1.32

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        scale = self.size / BODY_SIZE
        middle = top + self.height(width) / 2.0
        at = x + (width - self._length() if self.align == "right" else 0.0)
        for verdict in self.verdicts:
            if verdict is not None:
                draw_mark(pen, verdict, at + MARK_WIDTH * scale / 2.0, middle, scale=scale)
            at += (MARK_WIDTH + 1.0) * scale
        pen.text(
            at + 2.5, middle + self.size * 0.36, verdict_word(self.word), font=self._font(), size=self.size
        )
