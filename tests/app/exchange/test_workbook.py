"""Workbooks: their cells as text, what the cells do not show as notes, and bombs refused."""

from __future__ import annotations

import datetime
import zipfile
from pathlib import Path

import openpyxl
import pytest

from app.exchange import tables, workbook
from app.exchange.problem import JobFileProblem


@pytest.fixture
def book() -> openpyxl.Workbook:
    made = openpyxl.Workbook()
    made.active.append(["Bay", "Volts"])
    made.active.append(["Bay 1", 10.5])
    return made


def _saved(book: openpyxl.Workbook, folder: Path, name: str = "list.xlsx") -> Path:
    path = folder / name
    book.save(path)
    return path


def test_numbers_come_with_the_decimal_mark_of_the_worksheet(book: openpyxl.Workbook, tmp_path: Path) -> None:
    path = _saved(book, tmp_path)
    assert tables.from_file(path, decimal_comma=True).rows[1] == ("Bay 1", "10,5")
    assert tables.from_file(path, decimal_comma=None).rows[1] == ("Bay 1", "10.5")


def test_a_workbook_is_one_under_any_name(book: openpyxl.Workbook, tmp_path: Path) -> None:
    assert tables.from_file(_saved(book, tmp_path, "list.csv")).rows[0] == ("Bay", "Volts")


def test_merged_cells_repeat_their_value_and_that_is_said(book: openpyxl.Workbook, tmp_path: Path) -> None:
    book.active.append([None, 11])
    book.active.append([None, 12])
    book.active.merge_cells("A2:A4")
    found = tables.from_file(_saved(book, tmp_path))
    assert [row[0] for row in found.rows] == ["Bay", "Bay 1", "Bay 1", "Bay 1"]
    assert found.notes == ("2 cells that were merged repeat what stands in the first of them.",)


def test_hidden_columns_and_rows_are_shown_and_named(book: openpyxl.Workbook, tmp_path: Path) -> None:
    book.active.column_dimensions["B"].hidden = True
    book.active.row_dimensions[2].hidden = True
    found = tables.from_file(_saved(book, tmp_path))
    assert found.rows[1] == ("Bay 1", "10.5")
    assert found.notes == (
        "Hidden in the sheet and shown here: columns B.",
        "Hidden in the sheet and shown here: rows 2.",
    )


def test_a_formula_without_a_value_is_empty_and_counted(book: openpyxl.Workbook, tmp_path: Path) -> None:
    book.active.append(["Bay 2", "=B2*2"])
    found = tables.from_file(_saved(book, tmp_path))
    assert found.rows[2] == ("Bay 2", "")
    assert found.notes == ("1 formulas hold no value; they are empty here.",)


def test_dates_and_answers_come_as_words(book: openpyxl.Workbook, tmp_path: Path) -> None:
    book.active.append([datetime.date(2031, 5, 4), True])
    assert tables.from_file(_saved(book, tmp_path)).rows[2] == ("2031-05-04 00:00:00", "yes")


def test_of_several_sheets_the_first_that_shows_is_taken_and_named(
    book: openpyxl.Workbook, tmp_path: Path
) -> None:
    book.active.title = "Plates"
    book.create_sheet("Other")
    assert tables.from_file(_saved(book, tmp_path)).notes == ("Of 2 sheets the first is shown: Plates.",)


def test_a_workbook_that_unpacks_to_gigabytes_is_refused_by_its_directory(tmp_path: Path) -> None:
    path = tmp_path / "bomb.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", "<workbook/>")
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 70_000_000)
    assert path.stat().st_size < 200_000
    with pytest.raises(JobFileProblem, match="unpacks to 70 MB"):
        tables.from_file(path)


def test_a_workbook_that_wants_too_much_memory_ends_only_the_child(
    book: openpyxl.Workbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workbook, "MEMORY_BYTES", 150_000_000)
    path, hungry = _saved(book, tmp_path), tmp_path / "hungry.xlsx"
    strings = '<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(hungry, "w", zipfile.ZIP_DEFLATED) as packed:
        for member in old.namelist():
            body = old.read(member)
            if member == "xl/sharedStrings.xml":
                body = (strings + "<si><t>Bay</t></si>" * 2_000_000 + "</sst>").encode()
            packed.writestr(member, body)
    with pytest.raises(JobFileProblem, match="within the memory"):
        tables.from_file(hungry)


def test_a_workbook_that_takes_too_long_is_given_up(
    book: openpyxl.Workbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workbook, "SECONDS", 0.001)
    with pytest.raises(JobFileProblem, match="takes longer"):
        tables.from_file(_saved(book, tmp_path))


def test_a_packed_file_that_is_no_workbook_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.xlsx"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("readme.txt", "no workbook")
    with pytest.raises(JobFileProblem, match="it is no workbook"):
        tables.from_file(path)


def test_a_damaged_workbook_is_refused_in_one_line(book: openpyxl.Workbook, tmp_path: Path) -> None:
    path = _saved(book, tmp_path)
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    with pytest.raises(JobFileProblem) as refusal:
        tables.from_file(path)
    assert "\n" not in refusal.value.sentence


def test_too_many_cells_are_refused(book: openpyxl.Workbook, tmp_path: Path) -> None:
    book.active.append(list(range(101)))
    with pytest.raises(JobFileProblem, match="holds more than"):
        tables.from_file(_saved(book, tmp_path))
