"""Tables keep every row when they are split, and repeat their heads."""

from __future__ import annotations

import pytest

from app.report.blocks import Words, words
from app.report.grid import Column, Grid, GridRow, head_row

COLUMNS = (Column(width=40.0), Column(share=1.0))


def _grid(rows: int, *, keep: int | None = None) -> Grid:
    body = [GridRow((words(f"r{number}"), words("text")), keep_next=number == keep) for number in range(rows)]
    return Grid(COLUMNS, [head_row(COLUMNS, ("No.", "Text")), *body], heads=1)


def _names(grid: object) -> list[str]:
    assert isinstance(grid, Grid)
    return [row.cells[0].runs[0].text for row in grid.rows if isinstance(row.cells[0], Words)]


def test_columns_share_what_the_fixed_ones_leave() -> None:
    assert _grid(1).widths(200.0) == pytest.approx([40.0, 156.0])


def test_the_head_stands_again_over_what_goes_on() -> None:
    grid = _grid(6)
    parts = grid.split(200.0, grid.height(200.0) / 2)
    assert parts is not None
    assert _names(parts[1])[0] == "No."
    assert [*_names(parts[0]), *_names(parts[1])[1:]] == _names(grid)


def test_a_row_stays_with_the_one_it_leads() -> None:
    grid = _grid(6, keep=2)
    parts = grid.split(200.0, sum(grid.heights(200.0)[:4]) + 1.0)
    assert parts is not None
    assert _names(parts[0])[-1] == "r1"


def test_a_row_taller_than_the_rest_of_the_page_is_parted_by_lines() -> None:
    tall = GridRow((words("a"), words("word " * 900)))
    parts = Grid(COLUMNS, [tall]).split(200.0, 300.0)
    assert parts is not None
    assert parts[0].height(200.0) <= 300.0


def test_a_table_is_not_split_right_under_its_head() -> None:
    grid = _grid(3)
    assert grid.split(200.0, grid.heights(200.0)[0] + 2.0) is None
