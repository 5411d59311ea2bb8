"""Plain tables on paper: no word is parted while the paper holds all columns, and lists go without heads."""

from __future__ import annotations

import subprocess
from pathlib import Path

from app.report.plain_tables import PlainTable, print_tables

LONG = "1S1-1S2: by voltage a turns ratio is found; class 5P20 limits the error at current and burden. " * 3


def text_of(tmp_path: Path, table: PlainTable) -> str:
    path = tmp_path / "tables.pdf"
    path.write_bytes(
        print_tables([table], title="T", said_text="", paper="A4", program_text="Coreleaf", epoch_s=0.0)
    )
    done = subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True, encoding="utf-8"
    )
    return done.stdout


def test_short_columns_keep_their_words_whole_beside_a_long_one(tmp_path: Path) -> None:
    heads = ("Sheet", "Tested", "Site", "Transformers", "Verdict", "Findings")
    row = ("A-2 r1", "2041-05-04", "Sornbeck switching station, bay 4", "B24-0311 L1", "refer", LONG)
    text = text_of(tmp_path, PlainTable(heading="Found", heads=heads, rows=(row,)))

    assert [word for word in ("2041-05-04", "Transformers", "Verdict", "B24-0311") if word not in text] == []


def test_a_table_wider_than_the_paper_is_printed_all_the_same(tmp_path: Path) -> None:
    heads = tuple(f"Wide-heading-number-{number}" for number in range(12))
    text = text_of(tmp_path, PlainTable(heading="Wide", heads=heads, rows=(heads,)))

    assert "".join(text.split()).count("Wide-") >= 24


def test_a_list_without_heads_is_printed(tmp_path: Path) -> None:
    table = PlainTable(heading="Lines", heads=(), rows=(("first line",), ("second line",)))
    text = text_of(tmp_path, table)

    assert ("first line" in text, "second line" in text) == (True, True)
