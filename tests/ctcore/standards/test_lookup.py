"""Looking up limits between and beyond the tabulated currents, burdens and sections."""

from __future__ import annotations

import pytest

from ctcore import standards
from ctcore.errors import BadInput


def test_between_two_currents_the_looser_neighbour_holds_and_is_marked() -> None:
    limits = standards.error_limits_at("0.2S", 3)
    assert (limits.ratio_error_percent, limits.phase_displacement_arcmin) == (0.75, 30)
    assert not limits.tabulated


@pytest.mark.parametrize("percent_current", [1, 5, 20, 100, 120])
def test_at_a_tabulated_current_the_limit_is_marked_tabulated(percent_current: float) -> None:
    assert standards.error_limits_at("0.5S", percent_current).tabulated


@pytest.mark.parametrize("percent_current", [4.99, 120.01, 1000])
def test_beyond_the_table_a_measuring_class_has_no_limit(percent_current: float) -> None:
    assert standards.error_limits_at("0.5", percent_current) is None


@pytest.mark.parametrize(("percent_current", "tabulated"), [(120, True), (150, False), (200, True)])
def test_extended_current_keeps_the_limit_of_120_percent(percent_current: float, tabulated: bool) -> None:
    limits = standards.error_limits_at("0.2", percent_current, extended_percent=200)
    assert limits.ratio_error_percent == 0.2
    assert limits.tabulated is tabulated


def test_beyond_the_extended_current_there_is_no_limit() -> None:
    assert standards.error_limits_at("0.2", 201, extended_percent=200) is None


def test_classes_3_and_5_have_no_phase_limit() -> None:
    assert standards.error_limits_at("3", 50).phase_displacement_arcmin is None


def test_a_class_without_a_table_of_errors_is_refused() -> None:
    with pytest.raises(BadInput, match="5P"):
        standards.error_limits_at("5P", 100)


def test_an_extended_current_below_120_percent_is_refused() -> None:
    with pytest.raises(BadInput, match="120"):
        standards.error_limits_at("0.5", 100, extended_percent=110)


def test_an_unknown_class_is_refused_by_name() -> None:
    with pytest.raises(BadInput, match=r"0\.7"):
        standards.row("0.7")


@pytest.mark.parametrize(
    ("percent_current", "factor_high", "tabulated"),
    [(10, 1.006, True), (50, 1.006, False), (100, 1.003, True), (150, 1.003, False), (200, 1.003, True)],
)
def test_limits_of_correction_factors_reach_to_the_rating_factor(
    percent_current: float, factor_high: float, tabulated: bool
) -> None:
    limits = standards.correction_limits_at("0.3", percent_current, rating_factor=2.0)
    assert (limits.factor_high, limits.tabulated) == (factor_high, tabulated)


def test_the_limit_above_rated_current_is_from_memory() -> None:
    assert standards.correction_limits_at("0.3", 150, rating_factor=2.0).tag == "from memory"


@pytest.mark.parametrize("percent_current", [9.9, 100.1])
def test_beyond_its_currents_a_metering_class_has_no_limit(percent_current: float) -> None:
    assert standards.correction_limits_at("0.6", percent_current) is None


def test_a_class_without_correction_factors_is_refused() -> None:
    with pytest.raises(BadInput, match=r"0\.5"):
        standards.correction_limits_at("0.5", 100)


def test_a_rating_factor_below_one_is_refused() -> None:
    with pytest.raises(BadInput, match="rating factor"):
        standards.correction_limits_at("0.3", 100, rating_factor=0.5)


@pytest.mark.parametrize(
    ("designation", "rated_va", "low_va", "tag"),
    [
        ("0.5", 15.0, 3.75, "seen"),
        ("0.5", 2.5, 1.0, "from memory"),
        ("0.5", 0.5, 0.5, "from memory"),
        ("3", 15.0, 7.5, "seen"),
        ("5P", 15.0, 15.0, "seen"),
    ],
)
def test_the_burden_range_follows_the_class(
    designation: str, rated_va: float, low_va: float, tag: str
) -> None:
    found = standards.burden_range(designation, rated_va)
    assert (found.low_va, found.high_va, found.tag) == (low_va, rated_va, tag)


def test_an_extended_burden_range_comes_from_the_plate() -> None:
    found = standards.burden_range("0.2", 10.0, output_low_va=1.0)
    assert (found.low_va, found.high_va) == (1.0, 10.0)


def test_a_burden_range_upside_down_is_refused() -> None:
    with pytest.raises(BadInput, match="lower end"):
        standards.burden_range("0.2", 10.0, output_low_va=10.0)


@pytest.mark.parametrize("designation", ["PX", "C", "0.3"])
def test_a_class_without_rated_output_is_refused(designation: str) -> None:
    with pytest.raises(BadInput, match="no rated output"):
        standards.burden_range(designation, 10.0)


@pytest.mark.parametrize(("output_va", "power_factor"), [(0.0, 1.0), (4.99, 1.0), (5.0, 0.8), (15.0, 0.8)])
def test_the_test_burden_is_resistive_below_five_va(output_va: float, power_factor: float) -> None:
    assert standards.power_factor_of_test(output_va) == power_factor


def test_the_impedance_of_a_standard_burden_is_kept_at_50_hz() -> None:
    at_50, at_60 = standards.standard_burden("B-1", f_hz=50), standards.standard_burden("B-1")
    assert at_50.z_ohm == at_60.z_ohm
    assert at_50.l_h == pytest.approx(at_60.l_h * 1.2)


def test_a_standard_burden_grows_with_the_square_for_one_ampere() -> None:
    assert abs(standards.standard_burden("B-0.1", i_secondary_rated_a=1.0).z_ohm) == pytest.approx(2.5)


def test_an_unknown_burden_is_refused() -> None:
    with pytest.raises(BadInput, match=r"B-0\.3"):
        standards.standard_burden("B-0.3")


@pytest.mark.parametrize(("class_voltage_v", "power_factor", "z_ohm"), [(60.0, 0.9, 0.6), (300.0, 0.5, 3.0)])
def test_a_class_voltage_without_standard_burden_keeps_its_impedance(
    class_voltage_v: float, power_factor: float, z_ohm: float
) -> None:
    burden = standards.relay_burden(class_voltage_v)
    assert (burden.power_factor, burden.tag) == (power_factor, "arithmetic")
    assert abs(burden.z_ohm) == pytest.approx(z_ohm)


def test_an_untabulated_multi_ratio_winding_is_refused() -> None:
    with pytest.raises(BadInput, match="800:5"):
        standards.multi_ratio("800:5")
