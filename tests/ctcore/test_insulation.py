"""Insulation resistance: tables, limit sets, over-range readings."""

from __future__ import annotations

import pytest

from ctcore import insulation
from ctcore.errors import BadInput
from ctcore.standards.rows import TAGS


@pytest.mark.parametrize(
    "row", [*insulation.CORRECTION_TABLES, *insulation.LIMIT_SETS], ids=lambda row: row.name
)
def test_every_table_and_set_names_its_source(row: object) -> None:
    assert row.source
    assert row.tag in TAGS


@pytest.mark.parametrize("table_id", [table.table_id for table in insulation.CORRECTION_TABLES])
def test_every_table_is_one_at_20_degc(table_id: str) -> None:
    assert insulation.factor_to_20degc(20.0, table_id).factor == 1.0


@pytest.mark.parametrize("table_id", [table.table_id for table in insulation.CORRECTION_TABLES])
def test_below_20_degc_the_factor_is_under_one(table_id: str) -> None:
    assert insulation.factor_to_20degc(10.0, table_id).factor == 0.5


def test_between_two_temperatures_the_factor_is_interpolated_and_marked() -> None:
    factor = insulation.factor_to_20degc(22.5, "oil")
    assert factor.factor == pytest.approx(1.4**0.5)
    assert not factor.tabulated


@pytest.mark.parametrize(
    ("degc", "table_id"), [(-0.1, "oil"), (60.1, "oil"), (50.1, "solid"), (91.0, "halving_per_10k")]
)
def test_outside_its_table_there_is_no_factor(degc: float, table_id: str) -> None:
    with pytest.raises(BadInput, match="runs from"):
        insulation.factor_to_20degc(degc, table_id)


@pytest.mark.parametrize(
    ("r_ohm", "over", "under", "verdict", "is_corrected"),
    [
        (5e8, False, False, "within", True),
        (4.9e8, False, False, "outside", True),
        (5e8, True, False, "within", False),
        (4.9e8, True, False, "refer", False),
        (5e8, False, True, "outside", False),
        (5.1e8, False, True, "refer", False),
        (0.0, False, False, "outside", True),
    ],
)
def test_an_over_range_reading_is_never_corrected(
    r_ohm: float, over: bool, under: bool, verdict: str, is_corrected: bool
) -> None:
    result = insulation.judge(r_ohm, 2.0, 1e9, over_range=over, under_range=under)
    assert result.verdict == verdict
    assert (result.corrected_ohm is not None) is is_corrected
    assert result.raw_ohm == r_ohm


def test_a_reading_is_not_over_and_under_the_range_at_once() -> None:
    with pytest.raises(BadInput, match="at once"):
        insulation.judge(1e9, 1.0, 1e6, over_range=True, under_range=True)


@pytest.mark.parametrize(
    ("set_id", "nominal_v", "client_ohm", "limit_ohm"),
    [
        ("tradition_1_mohm", None, None, 1e6),
        ("neta_100_1", 600.0, None, 100e6),
        ("neta_100_1", 601.0, None, 100e6),
        ("neta_100_1", 400000.0, None, 100000e6),
        ("kv_plus_1_mohm", 11000.0, None, 12e6),
        ("client", None, 50e6, 50e6),
    ],
)
def test_each_limit_set_gives_its_limit(
    set_id: str, nominal_v: float | None, client_ohm: float | None, limit_ohm: float
) -> None:
    found = insulation.limit(set_id, nominal_v=nominal_v, client_limit_ohm=client_ohm)
    assert found.limit_ohm == pytest.approx(limit_ohm)


def test_indices_and_discharge_time_are_plain_quotients() -> None:
    assert insulation.polarisation_index(3e9, 2e9) == 1.5
    assert insulation.absorption_ratio(3e9, 2e9) == 1.5
    assert insulation.discharge_time_s(60.0) == 240.0


@pytest.mark.parametrize(
    ("function", "arguments", "reason"),
    [
        (insulation.correction_table, ("paper",), "paper"),
        (insulation.limit_set, ("mine",), "mine"),
        (insulation.judge, (-1.0, 1.0, 1e6), "insulation resistance"),
        (insulation.judge, (1e9, 0.0, 1e6), "correction factor"),
        (insulation.limit, ("client",), "limit of the client"),
        (insulation.limit, ("neta_100_1",), "nominal voltage"),
        (insulation.polarisation_index, (1e9, 0.0), "after 1 min"),
        (insulation.absorption_ratio, (0.0, 1e9), "after 60 s"),
        (insulation.discharge_time_s, (0.0,), "test time"),
    ],
)
def test_impossible_values_are_refused(function: object, arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        function(*arguments)
