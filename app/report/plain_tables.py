"""Plain tables on paper: a title, tables under headings, page n of N. No sheet, and nothing signed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from app.report.blocks import Block, Heading, Space, words
from app.report.frame import BOTTOM, LEFT, RIGHT, TOP, paper_size
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.pen import Pen

_FOOT_PT: Final = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainTable:
    """Rows of texts under heads; `note_text` stands where there are no rows, or says what is left out."""

    heading: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note_text: str = ""

    @property
    def tabbed(self) -> str:
        """The table as text, parted by tabs, for a spreadsheet or a letter."""
        lines = [self.heads, *self.rows] if self.rows else []
        told = ["\t".join(_one_line(cell) for cell in line) for line in lines]
        return "\n".join((self.heading, *told, *((self.note_text,) if self.note_text else ())))


def print_tables(
    tables: Sequence[PlainTable], *, title: str, said_text: str, paper: str, program_text: str, epoch_s: float
) -> bytes:
    """The PDF; `said_text` under the title says of what and when. The same input gives the same bytes."""
    width, height = paper_size(paper)
    pen, inner = Pen(width, height), width - LEFT - RIGHT
    pages = _paged(_blocks(tables, title, said_text), inner, TOP, height - BOTTOM - _FOOT_PT)
    for number, page in enumerate(pages, start=1):
        for top, block in page:
            block.draw(pen, LEFT, top, inner)
        foot = f"{title} · page {number} of {len(pages)}"
        pen.text(LEFT, height - BOTTOM, foot, size=7.5)
        pen.next_page()
    return pen.finish(title=title, author="", producer=program_text, issued_epoch_s=epoch_s)


def _blocks(tables: Sequence[PlainTable], title: str, said_text: str) -> list[Block]:
    made: list[Block] = [Heading(title, size=13.0, above=0.0), words(said_text), Space(6.0)]
    for table in tables:
        made.append(Heading(table.heading))
        if table.rows:
            columns = tuple(Column(share=_share(table, place)) for place in range(len(table.heads)))
            rows = [GridRow(tuple(words(cell) for cell in row)) for row in table.rows]
            made.append(Grid(columns, [head_row(columns, table.heads), *rows], heads=1))
        if table.note_text:
            made.append(words(table.note_text))
        made.append(Space(6.0))
    return made


def _share(table: PlainTable, place: int) -> float:
    """A column's share of the width, by its longest text, no text counting for more than a sentence."""
    longest = max(len(row[place]) for row in (table.heads, *table.rows))
    return float(min(max(longest, 6), 44))


def _paged(
    blocks: Sequence[Block], width: float, top: float, bottom: float
) -> list[list[tuple[float, Block]]]:
    """Each page as its blocks with their places; what does not fit goes on, a heading with what it heads."""
    pages: list[list[tuple[float, Block]]] = [[]]
    at, queue = top, list(blocks)
    while queue:
        block = queue.pop(0)
        least = block.least(width)
        if block.keep_next and queue:
            least += queue[0].least(width)
        if at + least > bottom and pages[-1]:
            pages.append([])
            at = top
        parts = block.split(width, bottom - at) if at + block.height(width) > bottom else None
        if parts is not None:
            block = parts[0]
            queue.insert(0, parts[1])
        pages[-1].append((at, block))
        at += block.height(width)
        if parts is not None:
            at = bottom
    return pages


def _one_line(cell: str) -> str:
    return " ".join(cell.split())
