"""Reads one workbook in a process of its own and prints what its first visible sheet holds, as JSON."""

from __future__ import annotations

import json
import sys
import zipfile
from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree

_NAMESPACE = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def main() -> int:
    path, limits = sys.argv[1], json.loads(sys.argv[2])
    _hold_to(limits["memory"])
    try:
        found = _read(path, limits)
    except MemoryError:
        return 1
    except Exception as problem:
        # A damaged workbook fails in many ways; all that matters is said in one line.
        words = " ".join(str(problem).split())[:120]
        found = {"refusal": f"cannot be read as a workbook ({type(problem).__name__}: {words})"}
    sys.stdout.write(json.dumps(found))
    return 0


def _hold_to(memory_bytes: int) -> None:
    try:
        import resource
    except ImportError:
        # Assumption: Windows has no such limit for a plain child; there the sizes and the time alone protect.
        return
    resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))


def _read(path: str, limits: dict[str, int]) -> dict[str, Any]:
    import openpyxl

    with open(path, "rb") as opened:  # by its contents: openpyxl would go by the name
        book = openpyxl.load_workbook(opened, read_only=True, data_only=True, keep_links=False)
        return _read_book(path, book, limits)


def _read_book(path: str, book: Any, limits: dict[str, int]) -> dict[str, Any]:
    sheets = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
    if not sheets:
        return {"refusal": "has no sheet that shows"}
    sheet = sheets[0]
    notes = []
    if len(sheets) > 1:
        notes.append(f"Of {len(sheets)} sheets the first is shown: {sheet.title}.")
    # A sheet can claim a million rows that it has not.
    sheet.reset_dimensions()
    marks = _marks(path, sheet._worksheet_path)
    rows: list[list[Any]] = []
    count = 0
    for cells in sheet.iter_rows(values_only=True):
        line = [_plain(cell) for cell in cells]
        while line and line[-1] is None:
            line.pop()
        count += len(line)
        if count > limits["cells"] or len(line) > limits["columns"] or len(rows) > 2 * limits["rows"]:
            return {
                "refusal": f"holds more than {limits['rows']} rows, {limits['columns']} columns or "
                f"{limits['cells']} cells; take a smaller part of it"
            }
        rows.append(line)
    filled = _fill(rows, marks["merged"])
    if filled:
        notes.append(f"{filled} cells that were merged repeat what stands in the first of them.")
    for kind in ("columns", "rows"):
        if marks[kind]:
            notes.append(f"Hidden in the sheet and shown here: {kind} {', '.join(marks[kind])}.")
    if marks["empty_formulas"]:
        notes.append(f"{marks['empty_formulas']} formulas hold no value; they are empty here.")
    return {"rows": rows, "notes": notes}


def _plain(cell: object) -> object:
    return cell if cell is None or isinstance(cell, bool | int | float | str) else str(cell)


def _marks(path: str, part: str) -> dict[str, Any]:
    """What the cells do not tell: merged ranges, hidden columns and rows, formulas without a value."""
    merged: list[str] = []
    columns: list[str] = []
    rows: list[str] = []
    empty = 0
    with zipfile.ZipFile(path) as packed, packed.open(part.lstrip("/")) as sheet:
        for element in _elements(sheet):
            name = element.tag.removeprefix(_NAMESPACE)
            if name == "mergeCell":
                merged.append(element.get("ref", ""))
            elif name == "col" and element.get("hidden") in ("1", "true"):
                first, last = int(element.get("min", "1")), int(element.get("max", "1"))
                columns += [_letters(column) for column in range(first, min(last, first + 20) + 1)]
            elif name == "row":
                if element.get("hidden") in ("1", "true"):
                    rows.append(element.get("r", "?"))
                empty += sum(_is_empty_formula(cell) for cell in element)
                element.clear()
    return {"merged": merged, "columns": columns[:20], "rows": rows[:20], "empty_formulas": empty}


def _elements(sheet: Any) -> Iterator[ElementTree.Element]:
    return (element for _, element in ElementTree.iterparse(sheet, events=("end",)))


def _is_empty_formula(cell: ElementTree.Element) -> bool:
    value = cell.find(f"{_NAMESPACE}v")
    return cell.find(f"{_NAMESPACE}f") is not None and (value is None or not value.text)


def _letters(column: int) -> str:
    """The letters of a column: 1 is A, 27 is AA."""
    found = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        found = chr(65 + rest) + found
    return found


def _fill(rows: list[list[Any]], ranges: list[str]) -> int:
    """Repeat the value of every merged range in all of its cells; how many were filled comes back."""
    from openpyxl.utils.cell import range_boundaries

    filled = 0
    for spelled in ranges[:2000]:
        left, top, right, bottom = range_boundaries(spelled)
        value = rows[top - 1][left - 1] if top <= len(rows) and left <= len(rows[top - 1]) else None
        if value is None:
            continue
        for row in rows[top - 1 : bottom]:
            row += [None] * (min(right, 100) - len(row))
            for column in range(left - 1, min(right, 100)):
                if row[column] is None:
                    row[column] = value
                    filled += 1
    return filled


if __name__ == "__main__":
    sys.exit(main())
