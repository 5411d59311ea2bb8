"""A drawing as plain geometry: chains of lines, arcs and words, for a screen and for paper alike.

The units are those of the drawing; `y` counts downwards from its top edge. Whoever draws it scales it to the
room that there is.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

Point = tuple[float, float]
Align = Literal["left", "middle", "right"]
WORDS_TALL: Final = 15.0


@dataclass(frozen=True, slots=True)
class Stroke:
    """A chain of straight lines; a filled one is closed."""

    points: tuple[Point, ...]
    is_thick: bool = False
    is_dashed: bool = False
    is_filled: bool = False


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle: angles counter-clockwise in degrees from three o'clock."""

    x: float
    y: float
    radius: float
    start_deg: float = 0.0
    sweep_deg: float = 360.0


@dataclass(frozen=True, slots=True)
class Words:
    """A line of letters with its baseline at `y`; `x` is its left end, its middle or its right end."""

    x: float
    y: float
    text: str
    align: Align = "left"
    is_bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """All of it, with its size and a sentence for whoever cannot see it."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    arcs: tuple[Arc, ...]
    words: tuple[Words, ...]
    said_text: str


@dataclass(slots=True)
class Board:
    """What a drawing is made on, part by part."""

    strokes: list[Stroke] = field(default_factory=list)
    arcs: list[Arc] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)

    def wire(self, *points: Point, is_thick: bool = False, is_dashed: bool = False) -> None:
        """A wire from point to point."""
        self.strokes.append(Stroke(points, is_thick=is_thick, is_dashed=is_dashed))

    def say(self, x: float, y: float, text: str, align: Align = "left", *, is_bold: bool = False) -> None:
        """A line of letters."""
        self.words.append(Words(x, y, text, align, is_bold))

    def finish(self, width: float, height: float, said_text: str) -> Drawing:
        """The drawing as it is now."""
        return Drawing(
            width=width,
            height=height,
            strokes=tuple(self.strokes),
            arcs=tuple(self.arcs),
            words=tuple(self.words),
            said_text=said_text,
        )
