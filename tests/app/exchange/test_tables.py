"""A block of cells from text or file: what parts its columns, and what is refused before any work is done."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from app.exchange import tables
from app.exchange.problem import JobFileProblem


@pytest.mark.parametrize("mark", ["\t", ";", ","])
def test_columns_are_parted_by_the_mark_that_every_line_has(mark: str) -> None:
    found = tables.from_text(f"Bay{mark}Ratio\nBay 1{mark}600/1\n")
    assert found.rows == (("Bay", "Ratio"), ("Bay 1", "600/1"))


def test_decimal_commas_part_no_columns_where_semicolons_do() -> None:
    assert tables.from_text("U;I\n10,5;1,2\n20,5;1,9\n").rows[1] == ("10,5", "1,2")


def test_short_lines_are_filled_and_empty_ones_left_out() -> None:
    assert tables.from_text("a\tb\tc\n\n1\n\t\t\n").rows == (("a", "b", "c"), ("1", "", ""))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "nothing to take"),
        ("<html><table></table></html>", "This is a page"),
        ("a\0b\n", "no table"),
        ('a\t"b\n', "cannot be read"),
        ("\n".join("1" for _ in range(6000)), "6000 lines"),
        ("\t".join("1" for _ in range(101)), "101 columns"),
    ],
)
def test_what_is_no_block_is_refused_in_a_sentence(text: str, sentence: str) -> None:
    found = tables.from_text(text)
    assert sentence in found.refusal_text
    assert found.rows == ()


def test_a_million_cells_are_refused_before_they_are_read() -> None:
    text = "\t".join("1" * 1 for _ in range(1000)) + "\n"
    started = time.process_time()
    found = tables.from_text(text * 1000)
    assert "at most 100000" in found.refusal_text
    assert time.process_time() - started < 0.5


def test_a_file_is_read_by_what_it_holds_whatever_it_is_called(tmp_path: Path) -> None:
    path = tmp_path / "list.xlsx"
    path.write_text("Bay;Ratio\nBay 1;600/1\n", encoding="utf-8")
    assert tables.from_file(path).rows[1] == ("Bay 1", "600/1")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_text_file_is_read_in_its_encoding(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes("Bay;Müller\n1;2\n".encode(encoding))
    assert tables.from_file(path).rows[0] == ("Bay", "Müller")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\x89PNG\r\n\x1a\n\0\0\0", "neither a table of text nor a workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1rest", "older form"),
        (b"", "nothing to take"),
        (b"1" * 8_000_001, "at most 8000000"),
    ],
)
def test_a_file_that_is_no_table_is_refused_with_its_name(tmp_path: Path, data: bytes, words: str) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(data)
    with pytest.raises(JobFileProblem) as refusal:
        tables.from_file(path)
    assert refusal.value.sentence.startswith("list.csv: ")
    assert words in refusal.value.sentence


def test_a_file_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(JobFileProblem, match="cannot be read"):
        tables.from_file(tmp_path / "none.csv")
