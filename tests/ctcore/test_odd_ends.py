"""The rarer ends of judging: what a plate or a worksheet may hold that hardly ever stands there."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from ctcore.curve import Curve
from ctcore.job import Instrument, LimitOverride, References
from ctcore.judge import budget_of, scene_of
from ctcore.judgement import excitation_curve, excitation_targets
from ctcore.judgement.excitation_curve import CurveView, current_at, measured, slope_at, voltage_at
from ctcore.judgement.excitation_operating import connected_burden
from ctcore.judgement.excitation_table import cell_text, table_of
from ctcore.judgement.limit import Limit
from ctcore.judgement.ratio import pairs_of
from ctcore.nameplate import parse_class
from ctcore.standards import multi_ratio
from ctcore.takes import takes_of

AT_75 = {"leads": "four_wire", "t_winding_degc": 75, "t_winding_source": "surface_probe"}
AS_ASKED = {
    "tap_id": "S1-S2", "frequency_hz": 50, "voltage_response": "mean", "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since", "primary_state": "open", "other_cores": "none", "links": "lifted",
}  # fmt: skip
VOLTS = [50.0, 100, 150, 200, 250, 300, 320, 340, 360, 380, 390, 400, 410, 420, 440, 460]
NOTHING = CurveView((), (), (), None, "Three points at least make a curve.")


def amperes(volts: list[float]) -> list[float]:
    return [0.02 * (v / 400.0) ** 0.6 + 0.004 * (v / 400.0) ** 18 for v in volts]


def cored(
    worksheet: Any, class_text: str, *, ohm: float | None = 2.0, stated: bool = False, **core: Any
) -> Any:
    sheet = worksheet(class_text, **core)
    if stated:
        sheet.instruments = (Instrument(instrument_id="m1", name_text="M", spec_reading_percent=0.2),)
    more = {"instrument_id": "m1"} if stated else {}
    for quantity, value in AT_75.items() if ohm is not None else ():
        sheet.add("resistance", "method", quantity, value, **more)
    if ohm is not None:
        sheet.add("resistance", "S1-S2", "r_measured_ohm", ohm, **more)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, amperes(VOLTS), **more)
    return sheet


def scene_and_take(sheet: Any, procedure: str = "excitation") -> Any:
    takes = takes_of(sheet.readings)
    return scene_of(sheet.job, sheet.place(), takes), takes["c1", procedure][-1]


def budget(sheet: Any, quantity: str, row: str = "", procedure: str = "excitation") -> Any:
    return budget_of(*scene_and_take(sheet, procedure), row, quantity)


# Budgets that there are none of


@pytest.mark.parametrize(
    ("class_text", "quantity"),
    [
        ("PX Ek 350 V Rct 2.5 ohm", "i_excitation_at_ek_a"),
        ("PX Ek 2000 V Ie 30 mA Rct 2.5 ohm", "i_excitation_at_ek_a"),
        ("PX Ie 30 mA Rct 2.5 ohm", "i_excitation_step_ratio"),
        ("PX Ek 450 V Ie 30 mA Rct 2.5 ohm", "i_excitation_step_ratio"),
        ("0.5 FS5 10 VA", "v_at_fs_current_v"),
        ("0.5 10 VA", "emf_class_v"),
        ("5P20 15 VA", "remanence_read_percent"),
        ("TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm", "i_excitation_peak_at_eal_a"),
    ],
)
def test_a_value_that_the_curve_does_not_give_has_no_budget(
    worksheet: Any, class_text: str, quantity: str
) -> None:
    assert budget(cored(worksheet, class_text, stated=True), quantity) is None


def test_the_volts_at_the_security_current_have_their_budget(worksheet: Any, make_tap: Any) -> None:
    """At 0.05 A, the budget holds voltmeter, ammeter over the slope, and the winding behind the e.m.f."""
    sheet = cored(worksheet, "0.5 FS5 10 VA", stated=True, taps=[make_tap("S1-S2", 60, 0.1)])

    found = budget(sheet, "v_at_fs_current_v")

    assert found.u_expanded == pytest.approx(sheet.derived("excitation", "v_at_fs_current_v").u_expanded)
    assert [line.name for line in found.lines][2] == "winding resistance at 75 °C"


@pytest.mark.parametrize(
    ("procedure", "row", "quantity"),
    [
        ("resistance", "S1-S2", "r_winding_75degc_ohm"),
        ("insulation", "secondary_earth", "insulation_resistance_20degc_ohm"),
    ],
)
def test_a_value_without_its_temperature_has_no_budget(
    worksheet: Any, procedure: str, row: str, quantity: str
) -> None:
    sheet = worksheet()
    sheet.key("resistance", leads="four_wire", t_winding_degc=-300)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("insulation", t_winding_degc=500)
    sheet.key("insulation", "secondary_earth", insulation_resistance_ohm=1e8)

    assert budget(sheet, quantity, row, procedure) is None


def test_a_value_of_a_core_of_unknown_metal_has_no_budget(worksheet: Any) -> None:
    sheet = cored(worksheet, "5P20 15 VA", conductor="tin")

    assert budget(sheet, "r_winding_75degc_ohm", "S1-S2", "resistance") is None


# Curves that are none


def test_nothing_is_read_off_a_curve_that_is_none() -> None:
    assert (current_at(NOTHING, 1.0), voltage_at(NOTHING, 1.0), slope_at(NOTHING, 1.0)) == (None, None, 0.0)


def test_a_place_outside_the_curve_has_no_slope() -> None:
    view = replace(NOTHING, curve=Curve([10.0, 20.0, 40.0], [0.01, 0.02, 0.04]))

    assert slope_at(view, 100.0) == 0.0


def test_without_a_curve_there_is_no_table(worksheet: Any) -> None:
    scene, take = scene_and_take(cored(worksheet, "0.5 10 VA"))

    found = table_of(scene, take, scene.core.taps[0], NOTHING, parse_class("0.5 10 VA"))

    assert getattr(found, "verdict", None) == "not tested"


def test_a_cell_that_the_curve_does_not_reach_shows_a_dash(worksheet: Any) -> None:
    scene, take = scene_and_take(cored(worksheet, "0.5 10 VA"))
    table = table_of(scene, take, scene.core.taps[0], measured(scene, take), parse_class("0.5 10 VA"))

    assert cell_text(table.cells[0]) == "–"  # type: ignore[union-attr]


def test_points_that_are_no_curve_say_why(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.key("excitation", **AS_ASKED)
    sheet.points([10.0, 10.0, 10.0], [0.01, 0.02, 0.03])

    assert sheet.findings()[-1].verdict == "not tested"


def test_a_struck_text_without_number_is_no_struck_point(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    for name, quantity, text in (("a", "v_excitation_v", "about 10"), ("b", "i_excitation_a", "0.01")):
        old = sheet.add("excitation", "1", quantity, text, reading_id=name)
        sheet.add("excitation", "1", quantity, "", value_text=None, struck=True, supersedes_id=old.reading_id)

    assert excitation_curve.measured(*scene_and_take(sheet)).struck == ()


def test_a_row_struck_before_it_had_a_value_is_no_struck_point(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.add("excitation", "1", "v_excitation_v", "", value_text=None, struck=True)

    assert excitation_curve.measured(*scene_and_take(sheet)).struck == ()


def test_a_curve_of_a_core_whose_class_cannot_be_read_is_referred(worksheet: Any) -> None:
    assert cored(worksheet, "??").found("excitation.class").verdict == "refer"


def test_a_curve_fed_at_no_known_tap_derives_its_knees_alone(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("0.5 10 VA", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    sheet.key("excitation", **{**AS_ASKED, "tap_id": "Z9"})
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.derived("excitation", "v_knee_iec_v").value is not None
    assert sheet.found("excitation.tap").verdict == "refer"


# Plates


def test_a_current_of_the_class_beyond_the_readings_has_no_step_to_take(worksheet: Any) -> None:
    sheet = cored(worksheet, "X Ek 350 V Ie 30 mA Rct 2.5 ohm")
    scene, _ = scene_and_take(sheet)

    assert excitation_targets.voltage_wanted_v(scene, scene.core.taps[0]) == 350.0


@pytest.mark.parametrize(
    ("class_text", "ohm", "volts"),
    [
        ("TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm", 2.0, 240.0),
        ("TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm", None, None),
        ("TPY Ts 0.5 s Rb 10 ohm", 2.0, None),
    ],
)
def test_a_tp_class_wants_the_volts_of_its_e_al(
    worksheet: Any, class_text: str, ohm: float | None, volts: float | None
) -> None:
    scene, _ = scene_and_take(cored(worksheet, class_text, ohm=ohm))

    assert excitation_targets.voltage_wanted_v(scene, scene.core.taps[0]) == volts


def test_a_plate_of_impossible_size_gives_no_emf(worksheet: Any, make_tap: Any) -> None:
    sheet = cored(worksheet, "TPY Kssc 1e12 Ktd 1e12 Ts 0.5 s Rb 10 ohm")
    scene, _ = scene_and_take(sheet)
    huge = replace(parse_class("TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm"), kssc=1e300)
    protection = replace(parse_class("5P20 15 VA"), limit_factor=1e300)

    found = excitation_targets.e_al_v(scene, scene.core.taps[0], huge)
    other = excitation_targets.emf_of(scene, scene.core.taps[0], protection)

    assert "E_al cannot be found" in getattr(found, "text", "")
    assert "cannot be found" in getattr(other, "text", "")


def test_an_ieee_relay_class_has_no_operating_factor_by_output(worksheet: Any, make_tap: Any) -> None:
    sheet = cored(worksheet, "C100", burden_connected_va=25.0)

    assert sheet.derived("excitation", "emf_class_v").value > 0.0


def test_without_a_burden_nothing_is_connected(worksheet: Any) -> None:
    scene, _ = scene_and_take(cored(worksheet, "0.5 10 VA"))

    assert connected_burden(scene, scene.core.taps[0]) is None


def test_peaks_at_equal_volts_make_no_curve(worksheet: Any) -> None:
    """Equal volts of two rows are one point; two points are no curve."""
    sheet = worksheet("TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm")
    sheet.key("resistance", **AT_75)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.instruments = (Instrument(instrument_id="m1", name_text="M", spec_reading_percent=0.2),)
    sheet.points([100.0, 200.0, 200.0, 300.0], [0.01, 0.02, 0.02, 0.03], instrument_id="m1")
    for row in ("1", "2", "3"):
        sheet.key("excitation", row, i_excitation_peak_a=0.02)

    assert "no curve" in sheet.found("excitation.peak").text


def test_the_tabulated_windings_are_found_by_their_ratio() -> None:
    assert multi_ratio("5000:5").section_turns_count == (300, 100, 400, 200)


def test_pairs_follow_from_a_tap_that_is_named_from_the_far_end(worksheet: Any, make_tap: Any) -> None:
    """S2-S3 of 100 and S1-S3 of 300 turns give S1-S2 of 200 (arithmetic)."""
    core = worksheet("0.5 10 VA", [make_tap("S2-S3", 100), make_tap("S1-S3", 300)]).cores[0]

    assert ("S1-S2", 200.0) in pairs_of(core)


# Ratio


@pytest.mark.parametrize("class_text", ["0.5 10 VA", "5P20 10 VA", "0.3 B-0.5", "C100"])
def test_an_error_without_the_current_of_the_reading_is_referred(worksheet: Any, class_text: str) -> None:
    sheet = worksheet(class_text)
    sheet.key("ratio", ratio_method="instrument", burden_in_circuit_va=10, burden_power_factor_ratio=0.8)
    sheet.key("ratio", "S1-S2", ratio_error_read_percent=0.1)

    found = [entry for entry in sheet.findings() if "current of the reading" in entry.text]

    assert [entry.verdict for entry in found] == ["refer"]
    assert found[0].reason == "The current of the reading is not recorded."


@pytest.mark.parametrize(
    ("class_text", "fields", "words"),
    [
        ("0.5 10 VA", {"burden_in_circuit_va": 10}, "Power factor of the burden is not recorded"),
        ("0.3", {"burden_in_circuit_va": 10, "burden_power_factor_ratio": 0.9}, "states no burden"),
        ("TPY", {"burden_in_circuit_va": 10, "burden_power_factor_ratio": 1}, "states no burden"),
        ("0.5 20-10 VA", {"burden_in_circuit_va": 10, "burden_power_factor_ratio": 0.8}, ""),
    ],
)
def test_a_burden_that_the_class_cannot_be_held_against_is_told(
    worksheet: Any, class_text: str, fields: Any, words: str
) -> None:
    sheet = worksheet(class_text)
    sheet.key("ratio", ratio_method="instrument", **fields)
    sheet.key("ratio", "S1-S2", i_percent_rated_percent=100, ratio_error_read_percent=0.1)

    found = [entry for entry in sheet.findings() if entry.procedure == "ratio"]

    assert any(words in entry.text for entry in found)
    assert "within" not in {entry.verdict for entry in found if entry.rule.startswith("ratio.error")}


def test_an_unknown_metal_gives_no_value_at_75_degrees(worksheet: Any) -> None:
    sheet = cored(worksheet, "5P20 15 VA", conductor="tin")

    assert sheet.found("resistance.reading").verdict == "refer"


def test_a_limit_of_the_office_without_either_side_cannot_be_used(worksheet: Any) -> None:
    sheet = cored(worksheet, "PX Ek 350 V Ie 30 mA Rct 2.5 ohm")
    entry = LimitOverride(
        rule="excitation.knee", core_id="", limit_low=None, limit_high=None, reason_text="r", person_text="p"
    )
    sheet.references = References(limit_overrides=(entry,))

    assert "cannot be used" in sheet.found("excitation.knee").text
    assert Limit("x", None, None, "", "seen").low is None


def test_a_field_struck_on_one_side_and_kept_on_the_other_is_told_as_such(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.key("resistance", **AT_75)
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0", device_id="d1")
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "", device_id="d2", value_text=None, struck=True)

    assert "struck out" in sheet.found("resistance.reading").text


def test_readings_of_no_date_raise_no_doubt_of_calibration(worksheet: Any) -> None:
    sheet = worksheet(r_winding_75degc_plate_ohm=2.5)
    sheet.instruments = (
        Instrument(instrument_id="m1", name_text="M", spec_reading_percent=0.2, due_on="2030-01-01"),
    )
    sheet.key("resistance", **AT_75)
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0", instrument_id="m1", at_utc="once")

    assert "resistance.limit" in sheet.rules()
