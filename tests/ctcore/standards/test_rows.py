"""The rows of the standards: sources, tags, and what a perfect and a gross transformer get from them."""

from __future__ import annotations

from pathlib import Path

import pytest

from ctcore import standards
from ctcore.standards import ieee_c57_13_2016
from ctcore.standards.rows import TAGS, MeasuringRow, MeteringRow, ProtectionRow, RelayRow, Row

MEASURING = [row for row in standards.CLASSES if isinstance(row, MeasuringRow)]
METERING = [row for row in standards.CLASSES if isinstance(row, MeteringRow)]
PROTECTION = [row for row in standards.CLASSES if isinstance(row, ProtectionRow)]


def by_name(row: Row) -> str:
    return row.designation


def test_the_tuple_of_editions_equals_the_folder() -> None:
    folder = Path(standards.__file__).parent
    files = {path.stem for path in folder.glob("i*_*.py")}
    assert {module.__name__.rpartition(".")[2] for module in standards.EDITIONS} == files


def test_every_designation_stands_once() -> None:
    names = [row.designation for row in standards.CLASSES]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("row", standards.CLASSES, ids=by_name)
def test_every_class_names_its_source_and_how_it_was_known(row: Row) -> None:
    assert any(character.isdigit() for character in row.source)
    assert row.tag in TAGS


@pytest.mark.parametrize("row", standards.CLASSES, ids=by_name)
def test_every_class_is_found_by_its_name(row: Row) -> None:
    assert standards.row(row.designation) is row


@pytest.mark.parametrize(
    "row",
    [*ieee_c57_13_2016.BURDENS, *ieee_c57_13_2016.MULTI_RATIO, ieee_c57_13_2016.ENVELOPE],
    ids=lambda row: type(row).__name__,
)
def test_every_burden_and_winding_names_its_source(row: object) -> None:
    assert row.source
    assert row.tag in TAGS


@pytest.mark.parametrize("row", MEASURING, ids=by_name)
def test_limits_never_tighten_towards_low_currents(row: MeasuringRow) -> None:
    ratios = [limit.ratio_error_percent for limit in row.limits]
    assert ratios == sorted(ratios, reverse=True)


@pytest.mark.parametrize("row", MEASURING, ids=by_name)
def test_a_perfect_transformer_is_within_and_a_gross_one_outside(row: MeasuringRow) -> None:
    limits = standards.error_limits_at(row.designation, 100)
    assert 0.0 < limits.ratio_error_percent < 10.0


@pytest.mark.parametrize("row", METERING, ids=by_name)
def test_a_perfect_factor_is_within_and_a_gross_one_outside(row: MeteringRow) -> None:
    limits = standards.correction_limits_at(row.designation, 100)
    assert 0.9 < limits.factor_low < 1.0 < limits.factor_high < 1.1


@pytest.mark.parametrize("row", METERING, ids=by_name)
def test_limits_of_correction_factors_lie_evenly_about_one(row: MeteringRow) -> None:
    assert [limit.factor_low + limit.factor_high for limit in row.limits] == pytest.approx([2.0, 2.0])


@pytest.mark.parametrize("row", PROTECTION, ids=by_name)
def test_every_protection_class_has_at_least_one_limit(row: ProtectionRow) -> None:
    assert row.composite_error_percent or row.turns_ratio_error_percent or row.peak_error_percent


def test_the_phase_window_of_tpz_lies_about_180_minutes() -> None:
    row = standards.row("TPZ")
    assert (row.phase_centre_arcmin, row.phase_displacement_arcmin) == (180, 18)


@pytest.mark.parametrize("row", [row for row in standards.CLASSES if isinstance(row, RelayRow)], ids=by_name)
def test_relaying_classes_with_a_voltage_are_proved_at_twenty_times_rated_current(row: RelayRow) -> None:
    assert row.limit_factor in (20.0, None)


@pytest.mark.parametrize("row", ieee_c57_13_2016.MULTI_RATIO, ids=by_name)
def test_sections_add_up_to_the_highest_ratio(row: object) -> None:
    assert sum(row.section_turns_count) == row.i_primary_rated_a / row.i_secondary_rated_a
