"""The rows of quantities hold together."""

from __future__ import annotations

from ctcore.entry import COLUMNS
from ctcore.procedures import PROCEDURES
from ctcore.quantities import QUANTITIES, quantity


def test_no_quantity_stands_twice() -> None:
    ids = [row.quantity_id for row in QUANTITIES]

    assert len(ids) == len(set(ids))


def test_every_number_has_a_unit_that_an_entry_field_knows() -> None:
    assert [row.quantity_id for row in QUANTITIES if row.kind == "number" and row.unit not in COLUMNS] == []


def test_choices_belong_to_choice_quantities_alone() -> None:
    assert [row.quantity_id for row in QUANTITIES if (row.kind == "choice") != bool(row.choices)] == []


def test_no_choice_stands_twice_in_a_row() -> None:
    rows = [[choice.value for choice in row.choices] for row in QUANTITIES]

    assert [values for values in rows if len(values) != len(set(values))] == []


def test_what_is_least_lies_below_what_is_greatest() -> None:
    bounds = [(row.quantity_id, row.least, row.greatest) for row in QUANTITIES]

    assert [
        entry for entry in bounds if entry[1] is not None and entry[2] is not None and entry[1] >= entry[2]
    ] == []


def test_every_quantity_says_what_it_is() -> None:
    assert [row.quantity_id for row in QUANTITIES if not (row.name and row.heading and row.help_text)] == []


def test_a_row_is_found_by_its_id() -> None:
    assert quantity("v_excitation_v").unit == "V"


def test_every_figure_that_a_test_derives_says_how_and_by_whose_rule() -> None:
    derived = {name for entry in PROCEDURES for name in entry.derived}
    numbers = [row for row in QUANTITIES if row.kind == "number" and row.quantity_id in derived]

    assert numbers
    assert [row.quantity_id for row in numbers if not (row.formula_text and row.source_text)] == []
