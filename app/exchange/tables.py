"""A block of cells from the clipboard or from a file, as text, with what there is to say about it.

What a file is decides its contents, not its name. Nothing is guessed of a number: a cell that a workbook
holds as a number comes as that number, written with the decimal mark of the worksheet.
"""

from __future__ import annotations

import csv
import dataclasses
import io
import re
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from app.exchange.problem import JobFileProblem

MOST_CELLS: Final = 100_000
MOST_ROWS: Final = 5_000
MOST_COLUMNS: Final = 100
MOST_BYTES: Final = 8_000_000
LONGEST_CELL: Final = 200
_NO_TEXT: Final = re.compile(r"[\0-\x08\x0e-\x1f]")
_MARKS: Final = ("\t", ";", ",")


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of equal length, none of them empty; `notes` say what the cells alone do not show.

    `mark` parts the columns of a text, "" in a workbook; `mark_in_doubt`: it could be the decimal mark too.
    """

    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()
    refusal_text: str = ""
    mark: str = ""
    mark_in_doubt: bool = False

    @property
    def width(self) -> int:
        """How many columns it has."""
        return len(self.rows[0]) if self.rows else 0

    def as_tabs(self) -> str:
        """The cells as text with tabs between them, as a clipboard holds them.

        >>> Table(rows=(("10", "1.2"), ("20", "1.9"))).as_tabs()
        '10\\t1.2\\n20\\t1.9\\n'
        """
        written = io.StringIO()
        kept = csv.writer(written, dialect="excel-tab", lineterminator="\n")
        kept.writerows([" ".join(cell.split()) for cell in row] for row in self.rows)
        return written.getvalue()


def refused(sentence: str) -> Table:
    """A block of which nothing can be taken, and why."""
    return Table(rows=(), refusal_text=sentence)


def from_text(text: str, mark: str = "") -> Table:
    """The block that a text holds: columns parted by `mark`, else by tabs, by semicolons, or by commas.

    >>> from_text("Volts;Current\\n10,0;1,2\\n").rows
    (('Volts', 'Current'), ('10,0', '1,2'))
    """
    if not text.strip():
        return refused("There is nothing to take.")
    if len(text) > MOST_BYTES:
        return refused(f"The block has {len(text)} signs; at most {MOST_BYTES} are taken at once.")
    if _NO_TEXT.search(text):
        return refused("This is no table: it holds signs that no text has.")
    if text.lstrip()[:1] == "<":
        return refused("This is a page, not a block of cells. Copy the cells as text.")
    told, mark = mark, mark or _mark_of(text)
    # The count comes before the work: a block of a million cells is refused, not read.
    count = text.count("\n") + text.count(mark)
    if count > MOST_CELLS:
        return refused(f"The block has about {count} cells; at most {MOST_CELLS} are taken at once.")
    try:
        found = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True))
    except csv.Error as problem:
        return refused(f"The block cannot be read: {problem}.")
    table = of_cells(found)
    in_doubt = not told and mark == "," and _could_be_decimals(found)
    return dataclasses.replace(table, mark=mark, mark_in_doubt=in_doubt)


def _could_be_decimals(found: list[list[str]]) -> bool:
    """Whether commas between digits alone part lines of cells that no line of as many headings explains."""
    filled = [line for line in found if any(cell.strip() for cell in line)]
    if any("." in cell for line in filled for cell in line):
        return False
    digits = [line for line in filled if all(cell.strip().lstrip("+-").isdecimal() for cell in line)]
    widths = {len(line) for line in digits}
    return bool(digits) and not any(len(line) in widths for line in filled if line not in digits)


def of_cells(cells: list[list[str]], notes: tuple[str, ...] = ()) -> Table:
    """The block of these cells: empty lines left out, every line as long as the longest."""
    kept = [[cell.strip() for cell in line] for line in cells if any(cell.strip() for cell in line)]
    if not kept:
        return refused("There is nothing to take.")
    width = max(len(line) for line in kept)
    if len(kept) > MOST_ROWS:
        return refused(f"The block has {len(kept)} lines; at most {MOST_ROWS} are taken at once.")
    if width > MOST_COLUMNS:
        return refused(f"The block has {width} columns; at most {MOST_COLUMNS} are taken at once.")
    rows = tuple(tuple(line + [""] * (width - len(line))) for line in kept)
    return Table(rows=rows, notes=notes)


def from_file(path: Path, *, decimal_comma: bool | None = None, mark: str = "") -> Table:
    """The block of a file of text or of the first sheet of a workbook; JobFileProblem where it is neither.

    `decimal_comma` is the setting of the worksheet; numbers of a workbook are written with its mark. `mark`
    parts the columns of a text where a person said so.
    """
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise JobFileProblem(path.name, "", None, f"has {size} bytes; at most {MOST_BYTES} are taken")
        data = path.read_bytes()
    except OSError as problem:
        raise JobFileProblem(path.name, "", None, f"cannot be read: {problem.strerror or problem}") from None
    if data[:4] == b"PK\x03\x04" or zipfile.is_zipfile(io.BytesIO(data)):
        from app.exchange import workbook

        return workbook.read(path, data, decimal_comma=decimal_comma)
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise JobFileProblem(
            path.name, "", None, "is a workbook of the older form; save it as .xlsx or as CSV and take that"
        )
    found = from_text(_decoded(path.name, data), mark)
    if found.refusal_text:
        raise JobFileProblem(path.name, "", None, found.refusal_text.rstrip("."))
    return found


def _decoded(name: str, data: bytes) -> str:
    """The text of a file: UTF-8, UTF-16 with its mark, else the common Western code page."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        encodings: tuple[str, ...] = ("utf-16",)
    else:
        encodings = ("utf-8-sig", "cp1252")
    if b"\0" in data and encodings != ("utf-16",):
        raise JobFileProblem(name, "", None, "is neither a table of text nor a workbook")
    for encoding in encodings:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise JobFileProblem(name, "", None, "is neither a table of text nor a workbook")


def _mark_of(text: str) -> str:
    """The mark that parts columns: the first of tab, semicolon and comma that stands in every early line."""
    lines = [line for line in text[:20_000].splitlines() if line.strip()][:20]
    return next((mark for mark in _MARKS if lines and all(mark in line for line in lines)), "\t")
