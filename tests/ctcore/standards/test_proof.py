"""The class tables as a text to be read: nothing is left out, what is from memory says so."""

from __future__ import annotations

import runpy

import pytest

from ctcore import standards
from ctcore.standards import ieee_c57_13_2016, proof
from ctcore.standards.proof import proof_sheet


@pytest.mark.parametrize(
    "row",
    [*standards.CLASSES, *ieee_c57_13_2016.MULTI_RATIO],
    ids=lambda row: row.designation,
)
def test_every_row_stands_on_the_proof_sheet(row: object) -> None:
    assert f"\n{row.designation}: " in proof_sheet()


def test_what_is_from_memory_asks_to_be_checked() -> None:
    lines = [line for line in proof_sheet().splitlines() if "(from memory" in line and line.startswith(" ")]
    assert lines
    assert all(line.endswith("check against the standard)") for line in lines)


def test_a_row_without_figures_says_who_states_them() -> None:
    assert "\nX: as the user states" in proof_sheet()


def test_the_window_of_tpz_names_its_centre() -> None:
    assert "phase 18 min about 180" in proof_sheet()


def test_the_command_prints_the_proof_sheet(capsys: pytest.CaptureFixture[str]) -> None:
    runpy.run_path(proof.__file__, run_name="__main__")

    assert capsys.readouterr().out == proof_sheet() + "\n"
