"""What stands on which page: marks in the flow of blocks, and lists of them with their page numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.report.blocks import BODY_SIZE, Block, Heading, NewPage, words
from app.report.fonts import BODY, BOLD, face
from app.report.grid import Column, Grid, GridRow
from app.report.pen import HAIR, Pen
from app.words import said

# So many entries have room on the first page, in so many columns; a longer list begins a page of its own.
SHORT: Final = 24
_COLUMNS: Final = 3
_GAP: Final = 16.0
_INDENT: Final = 9.0
TITLE_TEXT: Final = "Contents"


class Mark(Block):
    """A place that the contents and the outline of the reader lead to: a section, a position, a core."""

    keep_next = True

    def __init__(self, title: str, level: int = 0) -> None:
        self.title = title
        self.level = level
        self.key = ""
        self.page = 0

    def height(self, width: float) -> float:
        return 0.0

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.bookmark(self.key, self.title, level=self.level, top=max(0.0, top - 4.0))


class ContentsHere(Block):
    """Where a list of the contents goes once all marks are known; the whole one where the other is cut."""

    def __init__(self, *, whole: bool) -> None:
        self.whole = whole

    def height(self, width: float) -> float:
        return 0.0

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        return


class _PageOf(Block):
    """The number of the page of a mark, which is known when pages are drawn."""

    def __init__(self, mark: Mark) -> None:
        self.mark = mark

    def height(self, width: float) -> float:
        return BODY_SIZE * 1.32

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.text(x + width, top + BODY_SIZE * 1.02, str(self.mark.page), size=BODY_SIZE, align="right")


class _TitleOf(Block):
    """The title of a mark, which leads there."""

    def __init__(self, mark: Mark) -> None:
        self.mark = mark
        font = BOLD if mark.level == 0 else BODY
        self.words = words(mark.title, font=font, indent=_INDENT * mark.level)

    def height(self, width: float) -> float:
        return self.words.height(width)

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        self.words.draw(pen, x, top, width)
        pen.link(self.mark.key, x, top, width, self.height(width))


def with_contents(blocks: Sequence[Block]) -> list[Block]:
    """The blocks with their marks told apart and the lists of contents in their places."""
    marks = [block for block in blocks if isinstance(block, Mark)]
    for number, mark in enumerate(marks):
        mark.key = f"mark{number}"
    level = _deepest(marks)
    cut = any(mark.level > level for mark in marks)
    placed: list[Block] = []
    for block in blocks:
        if not isinstance(block, ContentsHere):
            placed.append(block)
        elif block.whole and cut:
            placed += [
                NewPage(said(TITLE_TEXT)),
                Heading(said(TITLE_TEXT), above=0.0),
                _column(marks, rule=HAIR),
            ]
        elif not block.whole and marks:
            shown = [mark for mark in marks if mark.level <= level]
            note = said("every core: see the pages that follow") if cut else ""
            placed += [Heading(said(TITLE_TEXT), note), _abreast(shown)]
    return placed


def _deepest(marks: Sequence[Mark]) -> int:
    """The deepest level down to which the contents still have room on the first page."""
    fitting = [level for level in (0, 1, 2) if sum(mark.level <= level for mark in marks) <= SHORT]
    return max(fitting, default=0)


def _abreast(marks: Sequence[Mark]) -> Block:
    """Columns of equal length, read downwards."""
    high = -(-len(marks) // _COLUMNS)
    parts = [marks[start : start + high] for start in range(0, len(marks), high)]
    return Columns(tuple(_column(part) for part in parts) + (words(""),) * (_COLUMNS - len(parts)), gap=_GAP)


class Columns(Block):
    """Blocks side by side in columns of one width."""

    def __init__(self, columns: tuple[Block, ...], *, gap: float) -> None:
        self.columns = columns
        self.gap = gap

    def _each(self, width: float) -> float:
        return (width - self.gap * (len(self.columns) - 1)) / len(self.columns)

    def height(self, width: float) -> float:
        return max(block.height(self._each(width)) for block in self.columns)

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        each = self._each(width)
        for number, block in enumerate(self.columns):
            block.draw(pen, x + number * (each + self.gap), top, each)


def _column(marks: Sequence[Mark], *, rule: float = 0.0) -> Grid:
    rows = [GridRow((_TitleOf(mark), _PageOf(mark)), rule=rule, rule_white=0.75) for mark in marks]
    number = face(BODY).width("00000", BODY_SIZE)
    return Grid((Column(share=1.0), Column(width=number)), rows, pad=0.7)
