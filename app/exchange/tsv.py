"""A block pasted from a spreadsheet, looked at before anything is kept.

The block is text in lines and tab-separated columns. The preview says which quantity each column is taken
for and why, what each cell would become, and which cells are refused with the reason; the window shows it and
keys what is kept.
"""

from __future__ import annotations

import contextlib
import csv
import dataclasses
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from app.exchange import columns as taking
from app.exchange.columns import Layout, PastedColumn, plain
from ctcore import entry
from ctcore.entry import COLUMNS, Entry
from ctcore.errors import BadInput
from ctcore.quantities import Quantity, quantity

_NOTHING: Final = "There is nothing to paste."
MOST_ROWS: Final = 2_000
MOST_COLUMNS: Final = 40
LONGEST_CELL: Final = 200
# An export says who, when and with what before its headings; they are looked for in these lines.
MOST_LINES_ABOVE: Final = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class PastedCell:
    """One cell: its text as pasted, the value it would become in the base unit, or why it is refused.

    `key_text` is what is keyed for it: under a heading of another unit a bare number takes that unit along.
    """

    text: str
    key_text: str = ""
    value_text: str | None = None
    over_range: bool = False
    under_range: bool = False
    reason: str = ""

    @property
    def refused(self) -> bool:
        """Whether the cell holds something that is no value of its column."""
        return bool(self.reason)


@dataclass(frozen=True, slots=True, kw_only=True)
class PastedRow:
    """One line of the block and the row of the worksheet that it goes to; None where there is none left."""

    row: str | None
    cells: tuple[PastedCell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """The whole block as it is understood; `refusal_text` is empty unless nothing of it can be taken.

    `heading_line` counts from 1; 0 where there are no headings. `asks_mark` tells that nothing can be taken
    before somebody says which decimal mark the block has.
    """

    columns: tuple[PastedColumn, ...] = ()
    rows: tuple[PastedRow, ...] = ()
    heading_line: int = 0
    refusal_text: str = ""
    asks_mark: bool = False

    @property
    def has_headings(self) -> bool:
        """Whether a line names the columns."""
        return self.heading_line > 0

    @property
    def refused_count(self) -> int:
        """How many cells are refused."""
        return sum(cell.refused for row in self.rows for cell in row.cells)

    def entries(self) -> list[tuple[str, str, str]]:
        """What would be keyed: row, quantity and the text to key; refused cells are left out."""
        if self.refusal_text:
            return []
        return [
            (row.row, column.quantity_id, cell.key_text)
            for row in self.rows
            for column, cell in zip(self.columns, row.cells, strict=True)
            if row.row is not None and column.quantity_id and cell.key_text and not cell.refused
        ]


def preview(
    text: str,
    quantity_ids: Sequence[str],
    *,
    rows: Sequence[str],
    row_words: Mapping[str, str] = MappingProxyType({}),
    decimal_comma: bool | None = None,
    layout: Layout = Layout(),  # noqa: B008
) -> Preview:
    """What a pasted text would become in these columns and rows, from the field in hand on.

    `quantity_ids` are the columns of the worksheet from that field on, `rows` its rows likewise; `row_words`
    has the words that name rows (terminals) with the rows, so that a first column of them is followed instead
    of the order.
    `decimal_comma` is the setting of the worksheet: None asks where a comma can mean two things. `layout` is
    what a person said of this block; what it leaves open is read from the block.

    >>> seen = preview("10,0\\t1,2\\n20,0\\t1,9\\n", ["v_excitation_v", "i_excitation_a"], rows=["1", "2"])
    >>> seen.entries()
    [('1', 'v_excitation_v', '10,0'), ('1', 'i_excitation_a', '1,2'), ('2', 'v_excitation_v', '20,0'), ('2', \
'i_excitation_a', '1,9')]
    """
    refusal, found = lines(text)
    if refusal:
        return Preview(refusal_text=refusal)
    by_words = {plain(word): row for word, row in row_words.items()}
    at = layout.heading_line
    heading_line = min(len(found) - 1, _heading_line(found, by_words) if at is None else at)
    headings, body = _headed(found, heading_line)
    columns = _columns(headings, body, quantity_ids, by_words, layout)
    seen = Preview(columns=columns, heading_line=heading_line)
    if not any(column.quantity_id for column in columns):
        return dataclasses.replace(seen, refusal_text="No column fits this table.")
    names = next((place for place, column in enumerate(columns) if column.taken_by == "rows"), None)
    marks = (decimal_comma if layout.decimal_comma is None else layout.decimal_comma, decimal_comma)
    question = "" if layout.decimal_comma is not None else _mark_question(body, columns, decimal_comma)
    made = tuple(
        PastedRow(
            row=(rows[number] if number < len(rows) else None)
            if names is None
            else by_words.get(plain(line[names])),
            cells=tuple(_cell(cell, column, marks) for cell, column in zip(line, columns, strict=True)),
        )
        for number, line in enumerate(body)
    )
    return dataclasses.replace(seen, rows=made, refusal_text=question, asks_mark=bool(question))


# From text to lines


def lines(text: str) -> tuple[str, list[list[str]]]:
    """Why the text is no block at all, or its cells, every line of the same length and none empty."""
    if not text.strip():
        return _NOTHING, []
    if text.lstrip().startswith("<"):
        return "This is a page, not a block of cells. Copy the cells as text.", []
    # The count comes before the work: a block of a million cells is refused, not read.
    count = text.count("\n") + text.count("\t") + 1
    if count > MOST_ROWS * MOST_COLUMNS:
        at_most = f"at most {MOST_ROWS} lines of {MOST_COLUMNS} are taken at once"
        return f"The block has about {count} cells; {at_most}.", []
    try:
        found = list(csv.reader(io.StringIO(text, newline=""), dialect="excel-tab", strict=True))
    except csv.Error as problem:
        return f"The block cannot be read: {problem}.", []
    kept = [[cell.strip() for cell in line] for line in found if any(cell.strip() for cell in line)]
    if not kept:
        return _NOTHING, []
    if len(kept) > MOST_ROWS:
        return f"The block has {len(kept)} lines; at most {MOST_ROWS} are taken at once.", []
    width = max(len(line) for line in kept)
    if width > MOST_COLUMNS:
        return f"The block has {width} columns; at most {MOST_COLUMNS} are taken at once.", []
    return "", [line + [""] * (width - len(line)) for line in kept]


def _heading_line(found: list[list[str]], by_words: Mapping[str, str]) -> int:
    """Which line names the columns: words alone, above a line with numbers or with a unit; 0 for none."""
    for number, line in enumerate(found[:MOST_LINES_ABOVE], start=1):
        filled = [cell for cell in line if cell]
        numbers = sum(map(_has_number, filled))
        if 2 * numbers > len(filled) or any(plain(cell) in by_words for cell in filled):
            return 0
        below = found[number : number + 2]
        below = below[1:] if below and _units(below[0]) else below[:1]
        headed = any(taking.states_unit(cell) for cell in filled)
        headed = headed or any(_has_number(cell) for next_line in below for cell in next_line)
        if not numbers and headed and 2 * len(filled) > len(line):
            return number
    return 0


def _headed(found: list[list[str]], heading_line: int) -> tuple[list[str], list[list[str]]]:
    """Headings and what stands below; a line of units alone goes into the headings."""
    if not heading_line:
        return [""] * len(found[0]), found
    headings, body = found[heading_line - 1], found[heading_line:]
    units = _units(body[0])
    if len(body) > 1 and units:
        pairs = zip(headings, units, strict=True)
        return [f"{heading} [{unit}]" if unit else heading for heading, unit in pairs], body[1:]
    return headings, body


def _units(line: list[str]) -> list[str]:
    """The units that a line holds where it holds nothing else; empty for any other line."""
    units = [cell.strip("[]() ") for cell in line]
    return units if any(units) and all(not unit or taking.known_unit(unit) for unit in units) else []


def _has_number(text: str) -> bool:
    return text[:1].isdigit() or text[:2].lstrip("+-\u2212<>.,")[:1].isdigit()


def _columns(
    headings: list[str],
    body: list[list[str]],
    quantity_ids: Sequence[str],
    by_words: Mapping[str, str],
    layout: Layout,
) -> tuple[PastedColumn, ...]:
    if layout.columns is not None and len(layout.columns) == len(headings):
        return taking.told(headings, layout.columns)
    named = [plain(line[0]) for line in body]
    names_rows = all(word in by_words for word in named) and len(set(named)) == len(named)
    return taking.guessed(headings, quantity_ids, names_rows)


def _mark_question(body: list[list[str]], columns: Sequence[PastedColumn], decimal_comma: bool | None) -> str:
    """What has to be asked about the decimal mark before a cell is taken; "" for nothing."""
    numbers = [
        place
        for place, column in enumerate(columns)
        if column.quantity_id and quantity(column.quantity_id).kind == "number"
    ]
    seen = {_mark_shown(line[place]) for line in body for place in numbers}
    if {",", "."} <= seen:
        return "Some cells have a comma as decimal mark, others a point: say which mark this block has."
    if decimal_comma is False and "," in seen:
        return (
            "The worksheet has the decimal point, but cells here have a comma: say which mark this block has."
        )
    if decimal_comma is True and "." in seen:
        return (
            "The worksheet has the decimal comma, but cells here have a point: say which mark this block has."
        )
    return ""


def _mark_shown(text: str) -> str:
    """The decimal mark that a cell can only have; "" where it has none or could have either."""
    found = [(place, sign) for place, sign in enumerate(text) if sign in ",."]
    if not found or not _has_number(text):
        return ""
    place, last = found[-1]
    other = "." if last == "," else ","
    if len({sign for _, sign in found}) > 1:
        return last
    if len(found) > 1:
        return other
    before, behind = text[:place].lstrip("+-\u2212<> "), text[place + 1 :]
    digits = len(behind) - len(behind.lstrip("0123456789"))
    could_group = digits == 3 and 1 <= len(before) <= 3 and before[0] != "0"
    return "" if could_group else last


# What the cells are


def _cell(text: str, column: PastedColumn, marks: tuple[bool | None, bool | None]) -> PastedCell:
    """One cell; `marks` are the decimal mark of the block and that of the worksheet it goes to."""
    if column.quantity_id is None or not text:
        return PastedCell(text=text)
    row = quantity(column.quantity_id)
    if len(text) > LONGEST_CELL:
        return PastedCell(text=text, reason=f"is longer than {LONGEST_CELL} signs")
    if not text.isprintable():
        return PastedCell(text=text, reason="holds a sign that cannot be printed")
    if row.kind == "text":
        return PastedCell(text=text, key_text=text, value_text=text)
    if row.kind == "choice":
        return _choice(text, row)
    try:
        found = entry.parse(text, column.unit, decimal_comma=marks[0], quantity=row.name)
        key_text = _key_text(text, found, column.unit, row, marks)
    except BadInput as refusal:
        return PastedCell(text=text, reason=refusal.reason)
    return _number(text, key_text, found, row)


def _key_text(
    text: str, found: Entry, unit: str, row: Quantity, marks: tuple[bool | None, bool | None]
) -> str:
    """The text that the field itself reads as the same number; `BadInput` where there is none."""
    block, sheet = marks
    if unit == row.unit and block == sheet:
        return text
    mark, group = (",", ".") if block else (".", ",")
    marked = text.replace(group, "").replace(mark, "," if sheet else ".")
    symbol = COLUMNS[unit].unit.symbol
    for candidate in (text, f"{text} {symbol}", marked, f"{marked} {symbol}"):
        with contextlib.suppress(BadInput):
            if entry.parse(candidate, row.unit, decimal_comma=sheet).value == found.value:
                return candidate
    raise BadInput(row.name, text, f"is not the same number under the heading {unit}; key it by hand")


def _number(text: str, key_text: str, found: Entry, row: Quantity) -> PastedCell:
    if row.least is not None and found.value < row.least:
        return PastedCell(text=text, reason=f"{row.name} is never below {row.least:g} in the base unit")
    if row.greatest is not None and found.value > row.greatest:
        return PastedCell(text=text, reason=f"{row.name} is never above {row.greatest:g} in the base unit")
    return PastedCell(
        text=text,
        key_text=key_text,
        value_text=found.value_text,
        over_range=found.over_range,
        under_range=found.under_range,
    )


def _choice(text: str, row: Quantity) -> PastedCell:
    wanted = text.casefold()
    for choice in row.choices:
        if wanted in (choice.value.casefold(), choice.words.casefold()):
            return PastedCell(text=text, key_text=text, value_text=choice.value)
    return PastedCell(text=text, reason="is none of " + ", ".join(choice.words for choice in row.choices))
