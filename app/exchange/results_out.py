"""Results as rows for other programs: CSV and JSON, a row per result, and the way back.

Format: UTF-8 CSV with CRLF (RFC 4180). A text that a spreadsheet would take for a formula has an apostrophe
put before it; a number never has, so that negative numbers stay numbers.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Sequence
from typing import Any, Final

COLUMNS: Final = (
    "number_text",
    "revision",
    "record_digest",
    "standing",
    "decision_text",
    "tested_by_text",
    "approved_by_text",
    "tested_on",
    "issued_at_utc",
    "site_text",
    "position_text",
    "phase_text",
    "serial_text",
    "core_number",
    "core_id",
    "class_text",
    "procedure_id",
    "row",
    "quantity_id",
    "value",
    "unit",
    "u_expanded",
    "limit_low",
    "limit_high",
    "verdict",
    "rule",
    "source",
)
NUMBERS: Final = frozenset({"revision", "core_number", "u_expanded", "limit_low", "limit_high"})
_GUARD: Final = "'"
# What a spreadsheet takes for the beginning of a formula, or of something that hides one.
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n", _GUARD)

Row = dict[str, Any]


def csv_head() -> str:
    """The first line of a table."""
    return f"{','.join(COLUMNS)}\r\n"


def csv_rows(rows: Iterable[Row]) -> str:
    """Rows as lines of a table.

    >>> csv_rows([{"number_text": "=1+1", "value": -2.5}]).startswith("'=1+1,")
    True
    """
    told = io.StringIO(newline="")
    writer = csv.writer(told, lineterminator="\r\n")
    for row in rows:
        writer.writerow([_cell(row.get(name)) for name in COLUMNS])
    return told.getvalue()


def read_csv(text: str) -> list[Row]:
    """The rows of a table that `csv_head` and `csv_rows` wrote."""
    reader = csv.reader(io.StringIO(text, newline=""))
    names = next(reader, [])
    return [{name: _value(name, cell) for name, cell in zip(names, cells, strict=True)} for cells in reader]


def json_row(row: Row) -> str:
    """A row as one line of JSON; numbers stay numbers."""
    return json.dumps({name: row.get(name) for name in COLUMNS}, ensure_ascii=False, allow_nan=False)


def read_json(lines: Sequence[str]) -> list[Row]:
    """The rows of lines of JSON."""
    return [json.loads(line) for line in lines if line.strip()]


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, int):
        return str(value)
    text = str(value)
    return f"{_GUARD}{text}" if text.startswith(_FORMULA) else text


def _value(name: str, cell: str) -> object:
    if name in NUMBERS:
        number = float(cell) if cell else None
        return int(number) if number is not None and name in ("revision", "core_number") else number
    if name == "value":
        return _number_or_text(cell)
    return cell[1:] if cell.startswith(_GUARD) else cell


def _number_or_text(cell: str) -> object:
    if not cell:
        return None
    if cell.startswith(_GUARD):
        return cell[1:]
    try:
        return float(cell)
    except ValueError:
        return cell
