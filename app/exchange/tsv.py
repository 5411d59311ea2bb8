"""A block pasted from a spreadsheet, looked at before anything is kept.

The block is text in lines and tab-separated columns. The preview says which quantity each column is taken
for and why, what each cell would become, and which cells are refused with the reason; the window shows it and
keys what is kept.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from ctcore import entry
from ctcore.entry import COLUMNS, Entry, base_unit
from ctcore.errors import BadInput
from ctcore.quantities import Quantity, quantity

MOST_ROWS: Final = 2_000
MOST_COLUMNS: Final = 40
LONGEST_CELL: Final = 200

Taken = Literal["heading", "unit", "place", "rows", "nothing"]

_UNIT_IN_HEADING: Final = re.compile(
    r"^(?P<name>.*?)\s*(?:[\[(](?P<inside>[^\])]+)[\])]|/\s*(?P<over>\S+)|\bin\s+(?P<word>\S+))\s*$"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PastedColumn:
    """One column of the block: its heading, what it is taken for, and by what.

    `unit` is the unit of its bare numbers: the one in the heading, else that of the worksheet's column.
    """

    heading_text: str
    quantity_id: str | None
    unit: str
    taken_by: Taken
    reason: str


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
    """The whole block as it is understood; `refusal_text` is empty unless nothing of it can be taken."""

    columns: tuple[PastedColumn, ...] = ()
    rows: tuple[PastedRow, ...] = ()
    has_headings: bool = False
    refusal_text: str = ""

    @property
    def refused_count(self) -> int:
        """How many cells are refused."""
        return sum(cell.refused for row in self.rows for cell in row.cells)

    def entries(self) -> list[tuple[str, str, str]]:
        """What would be keyed: row, quantity and the text to key; refused cells are left out."""
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
) -> Preview:
    """What a pasted text would become in these columns and rows, from the field in hand on.

    `quantity_ids` are the columns of the worksheet from that field on, `rows` its rows likewise; `row_words`
    has the words that name rows (terminals) with the rows, so that a first column of them is followed instead
    of the order.
    `decimal_comma` is the setting of the worksheet: None asks where a comma can mean two things.

    >>> seen = preview("10,0\\t1,2\\n20,0\\t1,9\\n", ["v_excitation_v", "i_excitation_a"], rows=["1", "2"])
    >>> seen.entries()
    [('1', 'v_excitation_v', '10,0'), ('1', 'i_excitation_a', '1,2'), ('2', 'v_excitation_v', '20,0'), ('2', \
'i_excitation_a', '1,9')]
    """
    refusal, lines = _lines(text)
    if refusal:
        return Preview(refusal_text=refusal)
    quantities = [quantity(quantity_id) for quantity_id in quantity_ids]
    by_words = {_plain(word): row for word, row in row_words.items()}
    has_headings = _is_heading(lines[0], lines[1:], by_words)
    headings = lines[0] if has_headings else [""] * len(lines[0])
    body = lines[1:] if has_headings else lines
    named = _names_rows(body, by_words)
    columns = _columns(headings, quantities, named)
    if not any(column.quantity_id for column in columns):
        return Preview(columns=columns, has_headings=has_headings, refusal_text="No column fits this table.")
    return Preview(
        columns=columns,
        rows=tuple(
            PastedRow(
                row=by_words[_plain(line[0])] if named else rows[number] if number < len(rows) else None,
                cells=tuple(
                    _cell(cell, column, decimal_comma) for cell, column in zip(line, columns, strict=True)
                ),
            )
            for number, line in enumerate(body)
        ),
        has_headings=has_headings,
    )


# From text to lines


def _lines(text: str) -> tuple[str, list[list[str]]]:
    """Why the text is no block at all, or its cells, every line of the same length and none empty."""
    if not text.strip():
        return "There is nothing to paste.", []
    if text.lstrip().startswith("<"):
        return "This is a page, not a block of cells. Copy the cells as text.", []
    try:
        found = list(csv.reader(io.StringIO(text, newline=""), dialect="excel-tab", strict=True))
    except csv.Error as problem:
        return f"The block cannot be read: {problem}.", []
    kept = [[cell.strip() for cell in line] for line in found if any(cell.strip() for cell in line)]
    if len(kept) > MOST_ROWS:
        return f"The block has {len(kept)} lines; at most {MOST_ROWS} are taken at once.", []
    width = max(len(line) for line in kept)
    if width > MOST_COLUMNS:
        return f"The block has {width} columns; at most {MOST_COLUMNS} are taken at once.", []
    return "", [line + [""] * (width - len(line)) for line in kept]


def _is_heading(first: list[str], rest: list[list[str]], by_words: Mapping[str, str]) -> bool:
    """A first line of words above lines with numbers; one line alone is data."""
    if any(_has_number(cell) or _plain(cell) in by_words for cell in first):
        return False
    return any(_has_number(cell) for line in rest for cell in line)


def _has_number(text: str) -> bool:
    return text[:1].isdigit() or text[:2].lstrip("+-\u2212<>.,")[:1].isdigit()


# What the columns are


def _names_rows(body: list[list[str]], by_words: Mapping[str, str]) -> bool:
    """Whether the first column names a row of the worksheet on every line, and none twice."""
    named = [_plain(line[0]) for line in body]
    return all(word in by_words for word in named) and len(set(named)) == len(named)


def _columns(headings: list[str], quantities: list[Quantity], named: bool) -> tuple[PastedColumn, ...]:
    found: dict[int, PastedColumn] = {}
    left = list(quantities)
    if named:
        found[0] = PastedColumn(
            heading_text=headings[0], quantity_id=None, unit="", taken_by="rows", reason="names the rows"
        )
    for match in (_by_name, _by_unit):
        for index, heading in enumerate(headings):
            row = match(heading, left) if index not in found and heading else None
            if row is not None:
                found[index] = _taken(heading, row, "heading" if match is _by_name else "unit")
                left.remove(row)
    for index, heading in enumerate(headings):
        if index not in found:
            found[index] = _by_place(heading, left)
    return tuple(found[index] for index in range(len(headings)))


def _by_name(heading: str, left: list[Quantity]) -> Quantity | None:
    name = _plain(_split(heading)[0])
    return next((row for row in left if name in (_plain(row.name), _plain(row.heading))), None)


def _by_unit(heading: str, left: list[Quantity]) -> Quantity | None:
    """The one quantity left whose dimension the heading's unit has; two of them are no answer."""
    unit = _split(heading)[1]
    fitting = [row for row in left if row.kind == "number" and _same_dimension(unit, row.unit)]
    return fitting[0] if len(fitting) == 1 else None


def _by_place(heading: str, left: list[Quantity]) -> PastedColumn:
    """The next quantity in the order of the worksheet, unless the heading has a unit that it cannot have."""
    if not left:
        return PastedColumn(
            heading_text=heading,
            quantity_id=None,
            unit="",
            taken_by="nothing",
            reason="no column is left for it",
        )
    unit = _split(heading)[1]
    row = left[0]
    if unit and not _same_dimension(unit, row.unit):
        reason = f"{unit} is no unit of {row.name}"
        return PastedColumn(
            heading_text=heading, quantity_id=None, unit="", taken_by="nothing", reason=reason
        )
    return _taken(heading, left.pop(0), "place")


def _taken(heading: str, row: Quantity, by: Taken) -> PastedColumn:
    unit = _split(heading)[1]
    stated = unit if unit and _same_dimension(unit, row.unit) else ""
    words = {"heading": "by its heading", "unit": "by its unit", "place": "by its place"}[by]
    return PastedColumn(
        heading_text=heading, quantity_id=row.quantity_id, unit=stated or row.unit, taken_by=by,
        reason=words + (f", numbers in {stated}" if stated and stated != row.unit else ""),
    )  # fmt: skip


def _split(heading: str) -> tuple[str, str]:
    """A heading without its unit, and the unit as the parser spells it; "" where it has none."""
    found = _UNIT_IN_HEADING.match(heading)
    if found is None:
        return heading, _known_unit(heading)
    unit = _known_unit(found["inside"] or found["over"] or found["word"] or "")
    return (found["name"], unit) if unit else (heading, "")


def _known_unit(spelling: str) -> str:
    """The column unit that a spelling names: the one whose table holds it with its own size."""
    wanted = spelling.strip()
    return next(
        (name for name, column in COLUMNS.items() if wanted and column.units.get(wanted) == column.unit), ""
    )


def _same_dimension(unit: str, other: str) -> bool:
    return bool(unit and other) and base_unit(unit) == base_unit(other)


# What the cells are


def _cell(text: str, column: PastedColumn, decimal_comma: bool | None) -> PastedCell:
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
        found = entry.parse(text, column.unit, decimal_comma=decimal_comma, quantity=row.name)
        key_text = _key_text(text, found, column.unit, row, decimal_comma)
    except BadInput as refusal:
        return PastedCell(text=text, reason=refusal.reason)
    return _number(text, key_text, found, row)


def _key_text(text: str, found: Entry, unit: str, row: Quantity, decimal_comma: bool | None) -> str:
    """The text that the field itself reads as the same number; `BadInput` where there is none."""
    if unit == row.unit:
        return text
    for candidate in (text, f"{text} {COLUMNS[unit].unit.symbol}"):
        if entry.parse(candidate, row.unit, decimal_comma=decimal_comma).value == found.value:
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


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("\u2013", "-").split())
