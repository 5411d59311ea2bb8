"""Empty cells and tables to be written in by hand: high enough for gloves, with answers to tick."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.report.blocks import Words, words
from app.report.fonts import BODY, BOLD, face
from app.report.forms.content import Blank, Form, LineOf
from app.report.frame import MM
from app.report.pen import Pen
from app.words import said

# Practice: 9 mm is the least line for a gloved hand with a thick pencil; these are a little more.
CELL: Final = 10.5 * MM
_CAPTION: Final = 7.5
_OPTION: Final = 8.5
_TICK: Final = 9.0
_OPTION_STEP: Final = 13.0
_PAD: Final = 4.0
_LIMIT_SIZE: Final = 7.8
_HEAD_SIZE: Final = 8.5


def options_height(options: Sequence[str], width: float, *, above: float) -> float:
    """How high a cell with answers wants to be."""
    return above + _OPTION_STEP * len(_option_lines(options, width)) + 3.0 if options else CELL


def draw_options(pen: Pen, options: Sequence[str], ticked: str, x: float, top: float, width: float) -> None:
    """A box to tick before each answer."""
    for number, line in enumerate(_option_lines(options, width)):
        at, base = x + _PAD, top + number * _OPTION_STEP + 9.0
        for option in line:
            pen.box(at, base - 7.6, _TICK, _TICK, width=0.8)
            if option == ticked:
                pen.path([(at + 1.5, base - 3.4), (at + 3.8, base - 0.6), (at + 7.6, base - 6.2)], width=1.4)
            pen.text(at + _TICK + 3.0, base, option, size=_OPTION)
            at += _option_width(option)


def _option_width(option: str) -> float:
    return _TICK + 3.0 + face(BODY).width(option, _OPTION) + 9.0


def _least_width(options: Sequence[str]) -> float:
    """The width that the longest answer wants; nothing where a figure is written."""
    return max((_option_width(option) for option in options), default=0.0) + 2 * _PAD if options else 0.0


def _option_lines(options: Sequence[str], width: float) -> list[list[str]]:
    lines: list[list[str]] = []
    room = 0.0
    for option in options:
        wide = _option_width(option)
        if not lines or wide - 9.0 > room:
            lines.append([])
            room = width - 2 * _PAD
        lines[-1].append(option)
        room -= wide
    return lines


class Cells:
    """Questions beside and under each other, each a ruled cell with its caption in the corner."""

    def __init__(self, blanks: Sequence[Blank], *, shares: Sequence[float] = ()) -> None:
        self.blanks = tuple(blanks)
        self._shares = tuple(shares)

    def _rows(self, width: float) -> list[list[tuple[Blank, float]]]:
        if self._shares:
            return [[(one, width * share) for one, share in zip(self.blanks, self._shares, strict=True)]]
        rows: list[list[tuple[Blank, float]]] = []
        widest = max(_least_width(one.options) for one in self.blanks)
        across = min(4 if widest <= width / 4 else 3, len(self.blanks))
        for start in range(0, len(self.blanks), across):
            group = self.blanks[start : start + across]
            rows.append([(one, width / len(group)) for one in group])
        return rows

    def _row_height(self, row: Sequence[tuple[Blank, float]]) -> float:
        return max(CELL, *(options_height(one.options, wide, above=13.0) for one, wide in row))

    def height(self, width: float) -> float:
        """All rows."""
        return sum(self._row_height(row) for row in self._rows(width))

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        """Captions, boxes, answers."""
        for row in self._rows(width):
            tall, at = self._row_height(row), x
            for one, wide in row:
                pen.box(at, top, wide, tall, width=0.8)
                pen.text(at + _PAD, top + 8.5, one.caption, size=_CAPTION)
                draw_options(pen, one.options, one.ticked, at, top + 12.0, wide)
                at += wide
            top += tall


class Table:
    """The lines of a test from one to another: what, limit, and an empty cell for each reading."""

    def __init__(self, form: Form, first: int, last: int, *, least: float = CELL) -> None:
        self.form, self.least = form, least
        self.lines = form.lines[first:last]
        self._limited = any(line.limits for line in form.lines)

    def _widths(self, width: float) -> list[float]:
        narrow = all(len(line.words) <= 3 for line in self.form.lines)
        many = len(self.form.columns) > 3
        first = 34.0 if narrow else width * (0.17 if many else 0.22)
        limit = width * (0.15 if many else 0.2) if self._limited else 0.0
        rest = width - first - limit
        wanted = [_least_width(column.options) for column in self.form.columns]
        # Cells for figures share what the answers leave.
        figures_count = wanted.count(0.0)
        spare = rest - sum(wanted)
        if figures_count:
            entries = [wide or spare / figures_count for wide in wanted]
        else:
            entries = [wide + spare / len(wanted) for wide in wanted]
        return [first, *([limit] if limit else []), *entries]

    def _heads(self) -> list[str]:
        heads = [self.form.rows_heading, *([said("Judged by")] if self._limited else [])]
        return heads + [column.caption for column in self.form.columns]

    def _head_height(self, widths: Sequence[float]) -> float:
        return 7.0 + max(
            words(head, font=BOLD, size=_HEAD_SIZE).height(wide - 2 * _PAD)
            for head, wide in zip(self._heads(), widths, strict=True)
        )

    def _line_height(self, line: LineOf, widths: Sequence[float]) -> float:
        wanted = [self.least, words(line.words, font=BOLD, size=9.0).height(widths[0] - 2 * _PAD) + 6.0]
        if self._limited:
            wanted.append(self._limit(line).height(widths[1] - 2 * _PAD) + 6.0)
        entries = widths[len(widths) - len(self.form.columns) :]
        for column, wide in zip(self.form.columns, entries, strict=True):
            wanted.append(options_height(column.options, wide, above=6.0))
        return max(wanted)

    def _limit(self, line: LineOf) -> Words:
        return words("\n".join(line.limits) or said("judged after keying"), size=_LIMIT_SIZE)

    def height(self, width: float) -> float:
        """Head and lines."""
        widths = self._widths(width)
        return self._head_height(widths) + sum(self._line_height(line, widths) for line in self.lines)

    def fitting(self, width: float, room: float) -> int:
        """How many lines go into a height."""
        widths, count = self._widths(width), 0
        used = self._head_height(widths)
        for line in self.lines:
            used += self._line_height(line, widths)
            if used > room:
                break
            count += 1
        return count

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        """Ruled in ink, the outer frame heavier."""
        widths, start, at = self._widths(width), top, x
        high = self._head_height(widths)
        for head, wide in zip(self._heads(), widths, strict=True):
            shown = words(head, font=BOLD, size=_HEAD_SIZE)
            room = wide - 2 * _PAD
            shown.draw(pen, at + _PAD, top + high - 3.5 - shown.height(room), room)
            at += wide
        top += high
        pen.line(x, top, x + width, top, width=1.2)
        for line in self.lines:
            tall = self._line_height(line, widths)
            self._draw_line(pen, line, x, top, tall, widths)
            top += tall
            pen.line(x, top, x + width, top, width=0.8)
        at = x
        for wide in widths[:-1]:
            at += wide
            pen.line(at, start, at, top, width=0.8)
        pen.box(x, start, width, top - start, width=1.2)

    def _draw_line(
        self, pen: Pen, line: LineOf, x: float, top: float, tall: float, widths: Sequence[float]
    ) -> None:
        name = words(line.words, font=BOLD, size=9.0)
        room = widths[0] - 2 * _PAD
        name.draw(pen, x + _PAD, top + (tall - name.height(room)) / 2.0, room)
        at = x + widths[0]
        if self._limited:
            limit, room = self._limit(line), widths[1] - 2 * _PAD
            limit.draw(pen, at + _PAD, top + (tall - limit.height(room)) / 2.0, room)
            at += widths[1]
        for column, wide in zip(
            self.form.columns, widths[len(widths) - len(self.form.columns) :], strict=True
        ):
            draw_options(pen, column.options, "", at, top + 5.0, wide)
            at += wide
