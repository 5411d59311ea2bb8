"""Insulation resistance from keyed readings to findings."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.job import CT, Core, Instrument, Job, LimitOverride, References

ROW = "secondary_earth"


def keyed(
    worksheet: Any, ohm: str, *, degc: Any = 20, references: References | None = None, **more: Any
) -> Any:
    sheet = worksheet()
    sheet.references = references or References()
    if degc is not None:
        sheet.key("insulation", t_winding_degc=degc)
    sheet.key("insulation", ROW, v_test_v=500)
    sheet.add("insulation", ROW, "insulation_resistance_ohm", ohm, **more)
    return sheet


def test_the_oil_table_gives_2_80_at_35_degrees(worksheet: Any) -> None:
    """1200 MOhm at 35 degC is 3360 MOhm at 20 degC. Source: oil-filled table, technical note; exact."""
    sheet = keyed(worksheet, "1.2e9", degc=35, references=References(insulation_correction="oil"))

    found = sheet.derived("insulation", "insulation_resistance_20degc_ohm", ROW)

    assert found.value == pytest.approx(3360e6, rel=1e-12)
    assert "oil-filled" in found.note


def test_halving_per_10_k_gives_3394_megohm(worksheet: Any) -> None:
    """1200 MOhm at 35 degC is 3394.1 MOhm at 20 degC. Source: halving per 10 K, common practice."""
    sheet = keyed(worksheet, "1.2e9", degc=35)

    found = sheet.derived("insulation", "insulation_resistance_20degc_ohm", ROW)

    assert found.value == pytest.approx(3394.1e6, abs=0.05e6)


def test_below_20_degrees_leaving_the_factor_out_would_be_optimistic(worksheet: Any) -> None:
    """1.5 MOhm at 10 degC is 0.75 MOhm at 20 degC: below 1 MOhm although the reading is above."""
    found = keyed(worksheet, "1.5e6", degc=10).found("insulation.secondary")

    assert (found.verdict, found.value, found.limit) == ("outside", pytest.approx(0.75e6), 1e6)
    assert found.text.endswith("check against the standard.")


def test_an_over_range_reading_whose_bound_reaches_the_limit_is_within(worksheet: Any) -> None:
    found = keyed(worksheet, "2e9", over_range=True, as_typed_text=">2G").found("insulation.secondary")

    assert (found.verdict, found.quantity) == ("within", "insulation_resistance_ohm")


def test_an_over_range_reading_whose_bound_stops_short_is_referred(worksheet: Any) -> None:
    sheet = keyed(worksheet, "2e6", degc=0, over_range=True, as_typed_text=">2M")

    assert sheet.found("insulation.secondary").verdict == "refer"


def test_an_over_range_reading_is_never_carried_to_20_degrees(worksheet: Any) -> None:
    sheet = keyed(worksheet, "2e9", degc=35, over_range=True, as_typed_text=">2G")

    with pytest.raises(StopIteration):
        sheet.derived("insulation", "insulation_resistance_20degc_ohm", ROW)


def test_an_under_range_reading_below_the_limit_is_outside(worksheet: Any) -> None:
    sheet = keyed(worksheet, "1e5", under_range=True, as_typed_text="<0.1M")

    assert sheet.found("insulation.secondary").verdict == "outside"


def test_without_a_temperature_the_raw_value_is_shown_and_referred(worksheet: Any) -> None:
    found = keyed(worksheet, "1.84e9", degc=None).found("insulation.secondary")

    assert (found.verdict, found.value, found.limit_standing) == ("refer", 1.84e9, "from memory")
    assert "temperature is not recorded" in found.text


def test_beyond_the_table_it_is_referred(worksheet: Any) -> None:
    sheet = keyed(worksheet, "1.84e9", degc=70, references=References(insulation_correction="oil"))

    assert sheet.found("insulation.secondary").verdict == "refer"


def test_without_the_test_voltage_it_is_referred(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.key("insulation", t_winding_degc=20)
    sheet.key("insulation", ROW, insulation_resistance_ohm="1.84e9")

    found = sheet.found("insulation.secondary")

    assert found.verdict == "refer"
    assert "Test voltage is not recorded" in found.text


def test_a_table_by_nominal_voltage_asks_for_its_test_voltage(worksheet: Any) -> None:
    """600 V: 1000 V and 100 MOhm. Source: ANSI/NETA MTS-2019, Table 100.1."""
    sheet = keyed(worksheet, "1e9", references=References(insulation_limit_set="neta_100_1"))

    found = sheet.found("insulation.secondary")

    assert (found.verdict, found.limit, found.limit_standing) == ("refer", 100e6, "seen")
    assert "the table asks for" in found.text


def test_the_primary_goes_by_the_voltage_of_the_equipment(worksheet: Any) -> None:
    """(kV + 1) MOhm: 37 MOhm for 36 kV. Source: guideline, common practice; exact."""
    sheet = keyed(worksheet, "1e9", references=References(insulation_limit_set="kv_plus_1_mohm"))
    sheet.um_kv = 36.0
    sheet.key("insulation", "primary_earth", v_test_v=5000, insulation_resistance_ohm="36.9e6")

    found = sheet.found("insulation.primary", "primary_earth")

    assert (found.verdict, found.limit) == ("outside", 37e6)


def test_a_primary_without_a_voltage_on_the_plate_is_referred(worksheet: Any) -> None:
    sheet = keyed(worksheet, "1e9", references=References(insulation_limit_set="neta_100_1"))
    sheet.key("insulation", "primary_earth", v_test_v=5000, insulation_resistance_ohm="5e9")

    assert sheet.found("insulation.reading", "primary_earth").verdict == "refer"


def test_the_client_sets_the_limit(worksheet: Any) -> None:
    references = References(insulation_limit_set="client", client_insulation_limit_ohm=50e6)

    assert keyed(worksheet, "49e6", references=references).found("insulation.secondary").verdict == "outside"


def test_a_client_set_without_its_figure_is_referred(worksheet: Any) -> None:
    sheet = keyed(worksheet, "49e6", references=References(insulation_limit_set="client"))

    assert sheet.found("insulation.reading").verdict == "refer"


def test_a_negative_resistance_is_not_tested(worksheet: Any) -> None:
    assert keyed(worksheet, "-1e6").found("insulation.reading").verdict == "not tested"


def test_a_dead_short_is_outside(worksheet: Any) -> None:
    assert keyed(worksheet, "0").found("insulation.secondary").verdict == "outside"


def test_text_without_a_number_is_not_tested(worksheet: Any) -> None:
    found = keyed(worksheet, "good", value_text=None).found("insulation.reading")

    assert found.verdict == "not tested"
    assert "“good”" in found.text


def test_the_office_limit_also_holds_for_an_over_range_reading(worksheet: Any) -> None:
    override = LimitOverride(
        rule="insulation.secondary", core_id="c1", limit_low=5e9, limit_high=None,
        reason_text="site rule", person_text="A. Person",
    )  # fmt: skip
    references = References(limit_overrides=(override,))
    sheet = keyed(worksheet, "2e9", references=references, over_range=True, as_typed_text=">2G")

    found = sheet.found("insulation.secondary")

    assert (found.verdict, found.limit, found.limit_standing) == ("refer", 5e9, "office")


def test_an_office_limit_without_a_lower_end_cannot_judge_a_bound(worksheet: Any) -> None:
    override = LimitOverride(
        rule="insulation.secondary", core_id="", limit_low=None, limit_high=5e9,
        reason_text="slip", person_text="A. Person",
    )  # fmt: skip
    references = References(limit_overrides=(override,))
    sheet = keyed(worksheet, "2e9", references=references, over_range=True, as_typed_text=">2G")

    assert sheet.found("insulation.secondary").verdict == "refer"


def test_a_primary_over_1_2_kv_that_nobody_tested_is_missed_once(worksheet: Any) -> None:
    sheet = keyed(worksheet, "1e9")
    sheet.um_kv = 24.0

    assert sheet.found("insulation.reading", "primary_earth").verdict == "not tested"


def test_the_other_secondaries_are_asked_for_where_there_are_some(worksheet: Any) -> None:
    sheet = keyed(worksheet, "1e9")
    core = sheet.cores[0]
    second = Core(core_id="c9", number=2, class_text="0.5", taps=core.taps)

    class Twin(type(sheet)):  # type: ignore[misc]
        @property
        def job(self) -> Job:
            from dataclasses import replace

            position = super().job.positions[0]
            ct = CT(ct_id="ct-L1", phase_text="L1", cores=(core, second))
            return replace(super().job, positions=(replace(position, cts=(ct,)),))

    twin = Twin(sheet.cores, readings=sheet.readings)

    assert twin.found("insulation.reading", "secondary_secondary").verdict == "not tested"


def test_the_uncertainty_of_meter_and_thermometer_are_joined(worksheet: Any) -> None:
    """5 % and 1 K, rectangular: U = 2 R/sqrt3 sqrt(0.05^2 + (ln2/10)^2). Source: JCGM 100:2008, 4.3.7."""
    sheet = worksheet()
    sheet.instruments = (
        Instrument(instrument_id="m1", name_text="Insulation tester", spec_reading_percent=5.0),
        Instrument(
            instrument_id="m2",
            name_text="Thermometer",
            spec_reading_percent=0.0,
            spec_floor=1.0,
            spec_floor_unit="degC",
        ),
    )
    sheet.add("insulation", "method", "t_winding_degc", "20.0000", instrument_id="m2")
    sheet.key("insulation", ROW, v_test_v=500)
    sheet.add("insulation", ROW, "insulation_resistance_ohm", "1.000000e9", instrument_id="m1")

    found = sheet.derived("insulation", "insulation_resistance_20degc_ohm", ROW)

    assert found.u_expanded == pytest.approx(2e9 / 3**0.5 * (0.05**2 + 0.0693147**2) ** 0.5, rel=1e-4)
