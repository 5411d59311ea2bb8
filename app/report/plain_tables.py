"""Plain tables on paper: a title, tables under headings, page n of N. No sheet, and nothing signed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from app.report.blocks import BODY_SIZE, Block, Heading, Space, words
from app.report.fonts import BODY, BOLD, face
from app.report.frame import BOTTOM, LEFT, RIGHT, TOP, paper_size
from app.report.grid import GAP, Column, Grid, GridRow, head_row
from app.report.pen import Pen

_FOOT_PT: Final = 14.0
# No text asks for more than this part of the paper.
_MOST_SHARE: Final = 0.45


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainTable:
    """Rows of texts under heads; `note_text` stands where there are no rows, or says what is left out.

    A list of one column may have no heads.
    """

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
    pages = _paged(_blocks(tables, title, said_text, inner), inner, TOP, height - BOTTOM - _FOOT_PT)
    for number, page in enumerate(pages, start=1):
        for top, block in page:
            block.draw(pen, LEFT, top, inner)
        foot = f"{title} · page {number} of {len(pages)}"
        pen.text(LEFT, height - BOTTOM, foot, size=7.5)
        pen.next_page()
    return pen.finish(title=title, author="", producer=program_text, issued_epoch_s=epoch_s)


def _blocks(tables: Sequence[PlainTable], title: str, said_text: str, width: float) -> list[Block]:
    made: list[Block] = [Heading(title, size=13.0, above=0.0), words(said_text), Space(6.0)]
    for table in tables:
        made.append(Heading(table.heading))
        if table.rows:
            columns = _columns(table, width)
            rows = [GridRow(tuple(words(cell) for cell in row)) for row in table.rows]
            heads = [head_row(columns, table.heads)] if table.heads else []
            made.append(Grid(columns, [*heads, *rows], heads=len(heads)))
        if table.note_text:
            made += [Space(2.0), words(table.note_text)]
        made.append(Space(6.0))
    return made


def _columns(table: PlainTable, width: float) -> tuple[Column, ...]:
    """Columns in which no word is parted while the paper holds them all, the rest by their longest text."""
    count = len(table.rows[0])
    heads = [(head, BOLD) for head in table.heads] or [("", BODY)] * count
    texts = [[heads[place], *((row[place], BODY) for row in table.rows)] for place in range(count)]
    least = [min(max(map(_longest_word, column)), width / 3.0) for column in texts]
    whole = [
        max(here, min(max(_long(*one) for one in column), _MOST_SHARE * width))
        for here, column in zip(least, texts, strict=True)
    ]
    room = width - GAP * (count - 1)
    spare = room - sum(least)
    if spare <= 0.0 or sum(whole) <= room:
        shares = least if spare <= 0.0 else whole
        return tuple(Column(share=share) for share in shares)
    wanted = sum(whole) - sum(least)
    return tuple(
        Column(width=here + spare * (all_of_it - here) / wanted)
        for here, all_of_it in zip(least, whole, strict=True)
    )


def _longest_word(one: tuple[str, str]) -> float:
    return max((_long(word, one[1]) for word in one[0].split()), default=0.0)


def _long(text: str, font: str) -> float:
    # A hair more than it measures, so that rounding parts nothing.
    return face(font).width(text, BODY_SIZE) + 0.5


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
