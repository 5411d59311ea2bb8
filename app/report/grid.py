"""Tables: columns with widths, rows of blocks, ruled, split between rows with their heads repeated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.report.blocks import BODY_SIZE, Align, Block, Words, words
from app.report.fonts import BOLD
from app.report.pen import HAIR, RULE, Pen

GAP = 4.0
TALL = 150.0


@dataclass(frozen=True, slots=True)
class Column:
    """One column: a fixed width in points, or a share of what the fixed ones leave."""

    width: float = 0.0
    share: float = 0.0
    align: Align = "left"


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row. `rule` is drawn beneath it from column `rule_from` on; a `wide` row has one cell for all."""

    cells: tuple[Block, ...]
    rule: float = HAIR
    rule_white: float = 0.35
    rule_from: int = 0
    keep_next: bool = False
    wide: bool = False


class Grid(Block):
    """A table. `heads` is the number of leading rows that are repeated where the table goes on."""

    def __init__(
        self,
        columns: Sequence[Column],
        rows: Sequence[GridRow],
        *,
        heads: int = 0,
        pad: float = 2.2,
        keep_next: bool = False,
    ) -> None:
        self.columns = tuple(columns)
        self.rows = tuple(rows)
        self.heads = heads
        self.pad = pad
        self.keep_next = keep_next
        self._heights: dict[float, list[float]] = {}

    def widths(self, width: float) -> list[float]:
        """Width of every column, gaps excluded."""
        fixed = sum(column.width for column in self.columns)
        shares = sum(column.share for column in self.columns) or 1.0
        left = max(0.0, width - fixed - GAP * (len(self.columns) - 1))
        return [column.width + left * column.share / shares for column in self.columns]

    def heights(self, width: float) -> list[float]:
        """Height of every row."""
        known = self._heights.get(width)
        if known is None:
            widths = self.widths(width)
            known = self._heights[width] = [self._row_height(row, widths, width) for row in self.rows]
        return known

    def _row_height(self, row: GridRow, widths: list[float], width: float) -> float:
        if row.wide:
            return row.cells[0].height(width) + 2 * self.pad
        tallest = max((cell.height(w) for cell, w in zip(row.cells, widths, strict=False)), default=0.0)
        return tallest + 2 * self.pad

    def height(self, width: float) -> float:
        return sum(self.heights(width))

    def least(self, width: float) -> float:
        heights = self.heights(width)
        high = sum(heights[: self.heads])
        for row, here in zip(self.rows[self.heads :], heights[self.heads :], strict=True):
            high += min(here, TALL)
            if not row.keep_next:
                break
        return high

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        widths = self.widths(width)
        for row, high in zip(self.rows, self.heights(width), strict=True):
            self._draw_row(pen, row, x, top, width, widths)
            top += high
            if row.rule:
                start = x + sum(widths[: row.rule_from]) + GAP * row.rule_from
                pen.line(start, top, x + width, top, width=row.rule, white=row.rule_white)

    def _draw_row(
        self, pen: Pen, row: GridRow, x: float, top: float, width: float, widths: list[float]
    ) -> None:
        if row.wide:
            row.cells[0].draw(pen, x, top + self.pad, width)
            return
        at = x
        for cell, here in zip(row.cells, widths, strict=False):
            cell.draw(pen, at, top + self.pad, here)
            at += here + GAP

    def split(self, width: float, space: float) -> tuple[Block, Block] | None:
        heights = self.heights(width)
        used, fits = 0.0, 0
        while fits < len(heights) and used + heights[fits] <= space:
            used += heights[fits]
            fits += 1
        if fits < len(heights) and fits >= self.heads and heights[fits] > TALL:
            return self._split_row(fits, width, space - used)
        while fits > self.heads and self.rows[fits - 1].keep_next:
            fits -= 1
        if fits <= self.heads or fits >= len(heights):
            return None
        return self._part(self.rows[:fits]), self._part((*self.rows[: self.heads], *self.rows[fits:]))

    def _split_row(self, number: int, width: float, space: float) -> tuple[Block, Block] | None:
        """Part a row that is taller than a page may leave over, line by line."""
        row = self.rows[number]
        widths = [width] if row.wide else self.widths(width)
        upper: list[Block] = []
        lower: list[Block] = []
        for cell, here in zip(row.cells, widths, strict=False):
            parts = cell.split(here, space - 2 * self.pad)
            fits = cell.height(here) <= space - 2 * self.pad
            if parts is None and not fits:
                return None
            upper.append(parts[0] if parts else cell)
            lower.append(parts[1] if parts else words("", size=1.0))
        first = replace(row, cells=tuple(upper), rule=0.0)
        rest = replace(row, cells=tuple(lower))
        return (
            self._part((*self.rows[:number], first)),
            self._part((*self.rows[: self.heads], rest, *self.rows[number + 1 :])),
        )

    def _part(self, rows: Sequence[GridRow]) -> Grid:
        return Grid(self.columns, rows, heads=self.heads, pad=self.pad, keep_next=self.keep_next)


def head_row(columns: Sequence[Column], titles: Sequence[str], *, size: float = BODY_SIZE) -> GridRow:
    """A row of column heads in bold over a full rule."""
    cells: list[Block] = [
        words(title, font=BOLD, size=size, align=column.align)
        for column, title in zip(columns, titles, strict=True)
    ]
    return GridRow(tuple(cells), rule=0.7, rule_white=0.0, keep_next=True)


def facts(pairs: Sequence[tuple[str, str]], *, label_width: float = 82.0, size: float = BODY_SIZE) -> Grid:
    """Labels with their values in bold beside them; a value that is not known is left out by the caller."""
    rows = [
        GridRow((words(label, size=size), Words((words(value, font=BOLD).runs[0],), size=size)), rule=0.0)
        for label, value in pairs
    ]
    return Grid((Column(label_width), Column(share=1.0)), rows, pad=0.8)


__all__ = ["GAP", "RULE", "Column", "Grid", "GridRow", "facts", "head_row"]
