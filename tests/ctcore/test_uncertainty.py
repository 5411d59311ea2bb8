"""Budgets: correlations, degrees of freedom, lines, refusals."""

from __future__ import annotations

import math

import pytest

from ctcore.errors import BadInput
from ctcore.uncertainty import (
    Budget,
    Correlation,
    Line,
    certificate,
    repeats,
    resolution,
    specification,
)


def budget(*links: Correlation, names: tuple[str, ...] = ("a", "b", "c")) -> Budget:
    return Budget("sum", "V", 1.0, tuple(Line(name, 1.0, 0.3) for name in names), links)


@pytest.mark.parametrize(
    ("coefficient", "u_combined"), [(1.0, 0.6), (0.0, 0.3 * math.sqrt(2.0)), (-1.0, 0.0)]
)
def test_correlated_lines_add_or_cancel(coefficient: float, u_combined: float) -> None:
    pair = budget(Correlation("a", "b", coefficient), names=("a", "b"))
    assert pair.u_combined == pytest.approx(u_combined, abs=1e-12)


def test_opposite_sensitivities_of_one_instrument_cancel() -> None:
    lines = (Line("top", 1.0, 0.1, 2.0), Line("bottom", 1.0, 0.1, -2.0))
    assert Budget("ratio", "1", 1.0, lines, (Correlation("top", "bottom", 1.0),)).u_combined == 0.0


def test_expanded_uncertainty_is_twice_the_combined_one() -> None:
    assert budget().u_expanded == 2.0 * budget().u_combined


def test_a_budget_without_repeats_has_infinitely_many_degrees_of_freedom() -> None:
    assert budget().dof_effective is None


def test_a_budget_of_repeats_alone_keeps_their_degrees_of_freedom() -> None:
    alone = Budget("mean", "V", 2.0, (repeats("volts", [1.0, 2.0, 3.0]),))
    assert alone.dof_effective == pytest.approx(2.0)


def test_the_rows_show_what_each_line_adds() -> None:
    shown = Budget("sum", "V", 3.0, (Line("a", 1.0, 0.3, -1.0), Line("b", 2.0, 0.4))).rows()
    assert [row.contribution for row in shown] == [-0.3, 0.4]
    assert [row.share_percent for row in shown] == pytest.approx([36.0, 64.0])


def test_the_rows_of_an_exact_value_share_nothing() -> None:
    assert Budget("exact", "V", 3.0, (Line("a", 3.0, 0.0),)).rows()[0].share_percent == 0.0


@pytest.mark.parametrize(
    ("line", "u"),
    [
        (specification("volts", -200.0, percent_of_reading=0.5, floor=1.0), 2.0 / math.sqrt(3.0)),
        (resolution("volts", 200.0, 1.0), 1.0 / math.sqrt(12.0)),
        (certificate("volts", 200.0, 0.3, coverage_factor=3.0), 0.1),
        (repeats("volts", [1.0, 2.0, 3.0]), 1.0 / math.sqrt(3.0)),
    ],
    ids=["specification", "resolution", "certificate", "repeats"],
)
def test_each_kind_of_knowledge_gives_its_standard_uncertainty(line: Line, u: float) -> None:
    assert line.u == pytest.approx(u)


def test_the_mean_of_the_repeats_is_the_value_of_their_line() -> None:
    assert repeats("volts", [1.0, 2.0, 6.0]).value == 3.0


@pytest.mark.parametrize(
    ("links", "reason"),
    [
        ((Correlation("a", "x", 0.5),), "no line of that name"),
        ((Correlation("a", "a", 1.0),), "with itself"),
        ((Correlation("a", "b", 1.5),), "between -1 and 1"),
        ((Correlation("a", "b", 0.5), Correlation("b", "a", 0.5)), "stated twice"),
        (
            (Correlation("a", "b", 0.9), Correlation("b", "c", 0.9), Correlation("a", "c", -0.9)),
            "cannot hold together",
        ),
    ],
)
def test_impossible_correlations_are_refused(links: tuple[Correlation, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        budget(*links)


def test_a_line_that_stands_twice_is_refused() -> None:
    with pytest.raises(BadInput, match="stands twice"):
        budget(names=("a", "a"))


def test_a_budget_without_a_line_is_refused() -> None:
    with pytest.raises(BadInput, match="at least one line"):
        budget(names=())


def test_one_reading_has_no_spread() -> None:
    with pytest.raises(BadInput, match="at least two"):
        repeats("volts", [1.0])


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ({"value": float("nan"), "u": 0.1}, "volts, value"),
        ({"value": 1.0, "u": -0.1}, "volts, standard uncertainty"),
        ({"value": 1.0, "u": 0.1, "sensitivity": float("inf")}, "volts, sensitivity"),
        ({"value": 1.0, "u": 0.1, "distribution": "bimodal"}, "volts, distribution"),
        ({"value": 1.0, "u": 0.1, "dof": 0.0}, "volts, degrees of freedom"),
    ],
)
def test_an_impossible_line_is_refused_by_name(arguments: dict[str, object], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        Line("volts", **arguments)
