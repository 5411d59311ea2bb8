"""What the columns of a block are taken for: by what a person said, by heading, by unit, or by place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from ctcore.entry import COLUMNS, base_unit
from ctcore.quantities import Quantity, quantity

# Format: in a layout this stands for the column whose words name the rows.
ROWS: Final = "rows"

Taken = Literal["heading", "unit", "place", "rows", "told", "nothing"]

_UNIT_IN_HEADING: Final = re.compile(
    r"^(?P<name>.*?)\s*(?:[\[(](?P<inside>[^\])]+)[\])]|/\s*(?P<over>\S+)|\bin\s+(?P<word>\S+))\s*$"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How a person said that a block is to be understood; None leaves that to the block itself.

    `columns` has the quantity and the unit of its bare numbers for each column, "" for one that is left out;
    `heading_line` counts from 1, 0 is a block without headings; `decimal_comma` is the block's own mark.
    """

    columns: tuple[tuple[str, str], ...] | None = None
    heading_line: int | None = None
    decimal_comma: bool | None = None


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


def told(headings: Sequence[str], columns: Sequence[tuple[str, str]]) -> tuple[PastedColumn, ...]:
    """The columns as a person said; a unit of another dimension than the quantity's is not followed."""
    found: list[PastedColumn] = []
    for heading, (name, unit) in zip(headings, columns, strict=True):
        taken = name and name in [name for name, _ in columns[: len(found)]]
        found.append(_nothing(heading, "another column is it") if taken else _as_told(heading, name, unit))
    return tuple(found)


def _as_told(heading: str, name: str, unit: str) -> PastedColumn:
    if name == ROWS:
        return PastedColumn(
            heading_text=heading, quantity_id=None, unit="", taken_by="rows", reason="names the rows"
        )
    if not name:
        return _nothing(heading, "left out")
    row = quantity(name)
    stated = unit if same_dimension(unit, row.unit) else row.unit
    words = "as told" + (f", numbers in {stated}" if stated != row.unit else "")
    return PastedColumn(heading_text=heading, quantity_id=name, unit=stated, taken_by="told", reason=words)


def guessed(headings: Sequence[str], quantity_ids: Sequence[str], named: bool) -> tuple[PastedColumn, ...]:
    """The columns by heading, then by unit, then by place; `named` says that the first one names the rows."""
    found: dict[int, PastedColumn] = {}
    left = [quantity(quantity_id) for quantity_id in quantity_ids]
    if named:
        found[0] = _as_told(headings[0], ROWS, "")
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
    name = plain(_split(heading)[0])
    return next((row for row in left if name in (plain(row.name), plain(row.heading))), None)


def _by_unit(heading: str, left: list[Quantity]) -> Quantity | None:
    """The one quantity left whose dimension the heading's unit has; two of them are no answer."""
    unit = _split(heading)[1]
    fitting = [row for row in left if row.kind == "number" and same_dimension(unit, row.unit)]
    return fitting[0] if len(fitting) == 1 else None


def _by_place(heading: str, left: list[Quantity]) -> PastedColumn:
    """The next quantity in the order of the worksheet, unless the heading has a unit that it cannot have."""
    if not left:
        return _nothing(heading, "no column is left for it")
    unit = _split(heading)[1]
    row = left[0]
    if unit and not same_dimension(unit, row.unit):
        return _nothing(heading, f"{unit} is no unit of {row.name}")
    return _taken(heading, left.pop(0), "place")


def _nothing(heading: str, reason: str) -> PastedColumn:
    return PastedColumn(heading_text=heading, quantity_id=None, unit="", taken_by="nothing", reason=reason)


def _taken(heading: str, row: Quantity, by: Taken) -> PastedColumn:
    unit = _split(heading)[1]
    stated = unit if unit and same_dimension(unit, row.unit) else ""
    words = {"heading": "by its heading", "unit": "by its unit", "place": "by its place"}[by]
    return PastedColumn(
        heading_text=heading, quantity_id=row.quantity_id, unit=stated or row.unit, taken_by=by,
        reason=words + (f", numbers in {stated}" if stated and stated != row.unit else ""),
    )  # fmt: skip


def _split(heading: str) -> tuple[str, str]:
    """A heading without its unit, and the unit as the parser spells it; "" where it has none."""
    found = _UNIT_IN_HEADING.match(heading)
    if found is None:
        return heading, known_unit(heading)
    unit = known_unit(found["inside"] or found["over"] or found["word"] or "")
    return (found["name"], unit) if unit else (heading, "")


def states_unit(heading: str) -> bool:
    """Whether a heading says a unit beside its words.

    >>> states_unit("U [V]"), states_unit("Serial")
    (True, False)
    """
    return bool(_UNIT_IN_HEADING.match(heading) and _split(heading)[1])


def known_unit(spelling: str) -> str:
    """The column unit that a spelling names: the one whose table holds it with its own size; "" for none.

    >>> known_unit("mA"), known_unit("day")
    ('mA', '')
    """
    wanted = spelling.strip()
    return next(
        (name for name, column in COLUMNS.items() if wanted and column.units.get(wanted) == column.unit), ""
    )


def same_dimension(unit: str, other: str) -> bool:
    """Whether both are units of one dimension."""
    return bool(unit and other) and base_unit(unit) == base_unit(other)


def plain(text: str) -> str:
    """A word as it is compared: without case, one kind of dash, single blanks."""
    return " ".join(text.casefold().replace("\u2013", "-").split())
