"""Readings gathered into takes: one performance of a procedure on a core, its method fields and its rows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from math import isfinite

from ctcore.job import METHOD_ROW, Reading


@dataclass(frozen=True, slots=True)
class Cell:
    """Every reading ever entered in one field, oldest first, and those that still stand.

    Two standing readings are an open question, as after two laptops were merged.
    """

    readings: tuple[Reading, ...]
    standing: tuple[Reading, ...]

    @property
    def current(self) -> Reading | None:
        """The reading in force, or None where none stands, it is struck or withdrawn, or two stand."""
        if len(self.standing) != 1 or self.standing[0].struck or self.standing[0].withdrawn:
            return None
        return self.standing[0]

    @property
    def empty(self) -> bool:
        """Whether nothing was entered, or all that was entered was withdrawn by undo."""
        return all(reading.withdrawn for reading in self.standing)

    @property
    def disputed(self) -> bool:
        """Whether more than one reading stands."""
        return len(self.standing) > 1

    @property
    def number(self) -> float | None:
        """The number in force in base units; None where there is none."""
        reading = self.current
        if reading is None or reading.value_text is None:
            return None
        try:
            number = float(reading.value_text)
        except ValueError:
            return None
        return number if isfinite(number) else None

    @property
    def value_text(self) -> str | None:
        """The value in force as kept in the record, a word or a decimal string."""
        return self.current.value_text if self.current else None


EMPTY_CELL = Cell((), ())


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a take: a tap, a pair of terminals or a point."""

    row: str
    cells: dict[str, Cell]

    def cell(self, quantity_id: str) -> Cell:
        """The cell of that quantity, empty where nothing was entered."""
        return self.cells.get(quantity_id, EMPTY_CELL)

    @property
    def struck(self) -> bool:
        """Whether every entered cell of the row is struck."""
        entered = [cell for cell in self.cells.values() if not cell.empty]
        return bool(entered) and all(len(cell.standing) == 1 and cell.standing[0].struck for cell in entered)


@dataclass(frozen=True, slots=True)
class Take:
    """One performance of a procedure on a core. `rows` stand in the order of their first entry."""

    core_id: str
    procedure_id: str
    take: int
    method: Row
    rows: tuple[Row, ...] = field(default=())

    def row(self, row: str) -> Row:
        """The row of that name, empty where nothing was entered."""
        return next((entry for entry in self.rows if entry.row == row), Row(row, {}))


def holders(takes: Iterable[Take]) -> dict[str, Take]:
    """By row the last take that has it: the result of record where a test goes row by row.

    >>> one = Take("c1", "resistance", 1, Row("method", {}), (Row("a", {}), Row("b", {})))
    >>> two = Take("c1", "resistance", 2, Row("method", {}), (Row("b", {}),))
    >>> [take.take for take in holders((one, two)).values()]
    [1, 2]
    """
    return {row.row: take for take in takes for row in take.rows}


def held_rows(takes: Iterable[Take], take: Take) -> Take:
    """A take with those of its rows alone that no later take has.

    >>> one = Take("c1", "resistance", 1, Row("method", {}), (Row("a", {}), Row("b", {})))
    >>> two = Take("c1", "resistance", 2, Row("method", {}), (Row("b", {}),))
    >>> [row.row for row in held_rows((one, two), one).rows]
    ['a']
    """
    held = holders(takes)
    rows = tuple(row for row in take.rows if held.get(row.row) is take)
    return take if len(rows) == len(take.rows) else replace(take, rows=rows)


def standing(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """Those readings that no other one supersedes."""
    kept = tuple(readings)
    superseded = {entry.supersedes_id for entry in kept if entry.supersedes_id is not None}
    return tuple(entry for entry in kept if entry.reading_id not in superseded)


def takes_of(readings: Iterable[Reading]) -> dict[tuple[str, str], tuple[Take, ...]]:
    """Takes by (core_id, procedure_id), each group in the order of their numbers."""
    grouped: dict[tuple[str, str], dict[int, dict[str, dict[str, list[Reading]]]]] = {}
    for entry in sorted(readings, key=entry_order):
        takes = grouped.setdefault((entry.core_id, entry.procedure_id), {})
        rows = takes.setdefault(entry.take, {})
        rows.setdefault(entry.row, {}).setdefault(entry.quantity_id, []).append(entry)
    return {
        key: tuple(_take(key, number, rows) for number, rows in sorted(takes.items()))
        for key, takes in grouped.items()
    }


def renewed(old: tuple[Take, ...], new: tuple[Take, ...]) -> tuple[Take, ...]:
    """The new takes, those that did not change as the old objects, so that what was found of them holds.

    >>> first = Take("c1", "ratio", 1, Row("method", {}))
    >>> renewed((first,), (Take("c1", "ratio", 1, Row("method", {})),))[0] is first
    True
    """
    before = {take.take: take for take in old}
    kept = tuple(before[take.take] if before.get(take.take) == take else take for take in new)
    same = len(kept) == len(old) and all(one is other for one, other in zip(kept, old, strict=True))
    return old if same else kept


def with_entry(takes: tuple[Take, ...], entry: Reading) -> tuple[Take, ...]:
    """The takes of one test with one reading more, which comes after all that they hold.

    Its row stands already or was never entered: of a row that was withdrawn the takes no longer tell.

    >>> first = Reading(reading_id="r1", core_id="c1", procedure_id="ratio", take=1, row="full",
    ...     quantity_id="ratio_measured", as_typed_text="600", value_text="600", person_id="p", at_utc="t1",
    ...     utc_offset_minutes=0, device_id="d", device_seq=1)
    >>> with_entry((), first) == takes_of([first])["c1", "ratio"]
    True
    """
    old = next((take for take in takes if take.take == entry.take), None)
    take = old or Take(entry.core_id, entry.procedure_id, entry.take, Row(METHOD_ROW, {}))
    before = take.method if entry.row == METHOD_ROW else take.row(entry.row)
    cell = _cell([*before.cell(entry.quantity_id).readings, entry])
    row = Row(entry.row, {**before.cells, entry.quantity_id: cell})
    if entry.row == METHOD_ROW:
        new = replace(take, method=row)
    elif before.cells:
        rows = (row if kept is before else kept for kept in take.rows)
        new = replace(take, rows=tuple(kept for kept in rows if not _withdrawn(kept)))
    else:
        new = replace(take, rows=(*take.rows, *(() if _withdrawn(row) else (row,))))
    others = (kept for kept in takes if kept is not old)
    return tuple(sorted((*others, new), key=lambda kept: kept.take))


def entry_order(entry: Reading) -> tuple[str, str, int]:
    """What readings are sorted by: when, on which device, and which one there."""
    return (entry.at_utc, entry.device_id, entry.device_seq)


def _take(key: tuple[str, str], number: int, rows: dict[str, dict[str, list[Reading]]]) -> Take:
    built = {name: Row(name, {q: _cell(list_) for q, list_ in cells.items()}) for name, cells in rows.items()}
    method = built.pop(METHOD_ROW, Row(METHOD_ROW, {}))
    kept = tuple(row for row in built.values() if not _withdrawn(row))
    return Take(key[0], key[1], number, method, kept)


def _withdrawn(row: Row) -> bool:
    """Whether undo took back all that was entered in a row."""
    return all(cell.empty for cell in row.cells.values())


def _cell(readings: list[Reading]) -> Cell:
    stand = standing(readings)
    # What was set aside for the other one stands no more, as long as that other one does.
    kept = tuple(entry for entry in stand if not (entry.struck and entry.withdrawn))
    return Cell(tuple(readings), kept or stand)
