"""Visual inspection, links back, kick, demagnetising, burden, injection, load and comparison, judged."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from ctcore.findings import Finding
from ctcore.job import Instrument
from ctcore.judge import scene_of
from ctcore.judgement.demagnetising import plan_words
from ctcore.takes import takes_of

STEEL = [20.0, 40.0, 80.0, 120.0, 160.0, 200.0, 240.0, 280.0, 320.0, 360.0, 380.0, 400.0, 420.0, 440.0, 460.0]


def amperes(factor: float = 1.0) -> list[float]:
    return [0.04 * factor * (0.9 * (v / 400.0) ** 0.8 + 0.1 * (v / 400.0) ** 18) for v in STEEL]


def verdict(sheet: Any, rule: str, row: str | None = None, core: int = 0) -> str:
    return str(sheet.found(rule, row, core).verdict)


# Visual inspection and links


def seen(sheet: Any, *, core: int = 0, **counts: int) -> None:
    asked = {
        "earths_drawn_count": 1,
        "earths_found_count": 1,
        "links_found_count": 4,
        "links_lifted_count": 4,
    }
    sheet.key("visual", core=core, **{**asked, **counts})
    for row in ("plate", "damage", "direction", "shorting"):
        sheet.key("visual", row, core=core, check_answer="yes")


def test_what_was_seen_in_order_is_within_and_what_was_not_looked_at_is_not_tested(
    worksheet: Callable[..., Any],
) -> None:
    sheet = worksheet()
    seen(sheet)

    assert verdict(sheet, "visual.line", "plate") == "within"
    assert verdict(sheet, "visual.line", "unused") == "not tested"


@pytest.mark.parametrize(("answer", "expected"), [("no", "outside"), ("not_applicable", "not applicable")])
def test_a_line_says_its_answer_and_what_was_seen(
    worksheet: Callable[..., Any], answer: str, expected: str
) -> None:
    sheet = worksheet()
    seen(sheet)
    sheet.key("visual", "unused", check_answer=answer, check_text="bridge on 2S2-2S3")

    assert verdict(sheet, "visual.line", "unused") == expected
    assert "bridge on 2S2-2S3" in sheet.found("visual.line", "unused").text


@pytest.mark.parametrize(
    ("drawn", "found", "expected"), [(1, 1, "within"), (1, 2, "outside"), (1, 0, "outside"), (2, 1, "refer")]
)
def test_there_is_one_secondary_earth_drawn_and_found(
    worksheet: Callable[..., Any], drawn: int, found: int, expected: str
) -> None:
    sheet = worksheet()
    seen(sheet, earths_drawn_count=drawn, earths_found_count=found)

    assert verdict(sheet, "visual.earths") == expected


def test_earths_that_were_not_counted_are_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("visual", "plate", check_answer="yes")

    assert verdict(sheet, "visual.earths") == "not tested"
    assert verdict(sheet, "visual.links") == "not tested"


@pytest.mark.parametrize(("lifted", "expected"), [(4, "within"), (5, "refer"), (3, "refer")])
def test_as_many_links_are_lifted_as_were_found_closed(
    worksheet: Callable[..., Any], lifted: int, expected: str
) -> None:
    sheet = worksheet()
    seen(sheet, links_lifted_count=lifted)

    assert verdict(sheet, "visual.links") == expected


@pytest.mark.parametrize(("closed", "expected"), [(4, "within"), (3, "outside"), (5, "outside")])
def test_links_closed_again_are_held_against_links_found(
    worksheet: Callable[..., Any], closed: int, expected: str
) -> None:
    sheet = worksheet()
    seen(sheet)
    sheet.key("links_back", links_closed_count=closed, earths_left_count=1)

    assert verdict(sheet, "links_back.links") == expected
    assert verdict(sheet, "links_back.earths") == "within"


def test_without_a_first_count_links_are_referred(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("links_back", links_closed_count=4)

    assert verdict(sheet, "links_back.links") == "refer"


@pytest.mark.parametrize(("ohm", "expected"), [(6.3, "within"), (7.4, "refer"), (0.0, "outside")])
def test_the_loop_is_held_against_the_sister_phases(
    worksheet: Callable[..., Any], ohm: float, expected: str
) -> None:
    sheet = worksheet(phases=3)
    for core, its in enumerate((ohm, 6.2, 6.25)):
        sheet.key("links_back", "loop", core=core, r_proof_ohm=its)

    assert verdict(sheet, "links_back.loop") == expected


def test_an_open_loop_is_outside_and_a_lone_one_referred(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.add("links_back", "loop", "r_proof_ohm", 2000.0, over_range=True)
    lone = worksheet()
    lone.key("links_back", "loop", r_proof_ohm=6.2)

    assert verdict(sheet, "links_back.loop") == "outside"
    assert verdict(lone, "links_back.loop") == "refer"


@pytest.mark.parametrize(("ohm", "expected"), [(0.02, "within"), (1.4, "refer")])
def test_the_joint_of_the_earth_conducts(worksheet: Callable[..., Any], ohm: float, expected: str) -> None:
    sheet = worksheet()
    sheet.key("links_back", "earth_joint", r_proof_ohm=ohm)

    assert verdict(sheet, "links_back.earth_joint") == expected


@pytest.mark.parametrize(("ohm", "expected"), [(5e8, "within"), (8e4, "outside")])
def test_the_circuit_holds_to_earth_with_its_earth_lifted(
    worksheet: Callable[..., Any], ohm: float, expected: str
) -> None:
    sheet = worksheet()
    sheet.key("links_back", "earth_lifted", r_proof_ohm=ohm)

    assert verdict(sheet, "links_back.earth_lifted") == expected


def test_a_joint_over_range_is_open_and_a_circuit_over_range_holds(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.add("links_back", "earth_joint", "r_proof_ohm", 100.0, over_range=True)
    sheet.add("links_back", "earth_lifted", "r_proof_ohm", 1e9, over_range=True)

    assert verdict(sheet, "links_back.earth_joint") == "outside"
    assert verdict(sheet, "links_back.earth_lifted") == "within"


# Kick


@pytest.mark.parametrize(
    ("make", "on_break", "expected"),
    [("up", "down", "within"), ("down", "up", "outside"), ("up", "up", "refer"), ("none", "none", "refer")],
)
def test_a_kick_tells_polarity_by_make_and_break(
    worksheet: Callable[..., Any], make: str, on_break: str, expected: str
) -> None:
    """Up on make and down on break agrees: IEEE C57.13.1 field practice (seen)."""
    sheet = worksheet()
    sheet.key("kick", "S1-S2", kick_make=make, kick_break=on_break)

    assert verdict(sheet, "kick.polarity") == expected


def test_a_kick_without_break_is_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("kick", "S1-S2", kick_make="up")

    assert verdict(sheet, "kick.polarity") == "not tested"


# Demagnetising


def demagnetised(sheet: Any, *, method: str = "ac_ramp", core: int = 0, **row: Any) -> None:
    sheet.key("demagnetising", core=core, demagnetising_method=method)
    start = {"v_start_v": 500.0} if method == "ac_ramp" else {"i_start_a": 0.5}
    asked = {**start, "steps_count": 22, "time_to_zero_s": 40, "demagnetising_end": "zero"}
    sheet.key("demagnetising", "winding", core=core, **{**asked, **row})


def curve(sheet: Any, factor: float = 1.0, *, take: int = 1, core: int = 0, low: float = 1.0) -> None:
    rows = [
        i * (1.0 + (low - 1.0) * math.exp(-v / 80.0)) for v, i in zip(STEEL, amperes(factor), strict=True)
    ]
    sheet.points(STEEL, rows, take=take, core=core)


@pytest.mark.parametrize(("volts", "expected"), [(500.0, "within"), (300.0, "refer")])
def test_a_run_down_starts_past_the_knee(worksheet: Callable[..., Any], volts: float, expected: str) -> None:
    sheet = worksheet()
    demagnetised(sheet, v_start_v=volts)
    curve(sheet)

    assert verdict(sheet, "demagnetising.start") == expected


def test_direct_current_starts_past_the_peak_of_the_knee_current(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    demagnetised(sheet, method="alternating_dc", i_start_a=0.03)
    curve(sheet)

    assert verdict(sheet, "demagnetising.start") == "refer"


def test_without_a_knee_the_start_is_referred(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    demagnetised(sheet)

    assert verdict(sheet, "demagnetising.start") == "refer"
    assert verdict(sheet, "demagnetising.proof") == "not tested"


def test_an_interrupted_run_is_outside(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    demagnetised(sheet, demagnetising_end="interrupted")

    assert verdict(sheet, "demagnetising.end") == "outside"


@pytest.mark.parametrize(("low", "expected"), [(1.0, "within"), (2.2, "refer")])
def test_the_low_end_of_the_next_curve_proves_it_against_the_sisters(
    worksheet: Callable[..., Any], low: float, expected: str
) -> None:
    sheet = worksheet(phases=3)
    demagnetised(sheet)
    curve(sheet, low=low)
    curve(sheet, 1.03, core=1)
    curve(sheet, 0.98, core=2)

    assert verdict(sheet, "demagnetising.proof") == expected


def test_curves_before_and_after_prove_it_by_themselves(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    curve(sheet, low=1.7)
    demagnetised(sheet)
    curve(sheet, take=2)

    assert verdict(sheet, "demagnetising.proof") == "within"
    assert "only the low end moved" in sheet.found("demagnetising.proof").text


def test_the_plan_of_steps_starts_at_the_knee_of_the_core(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    demagnetised(sheet)
    curve(sheet)
    wanted = sheet.derived("demagnetising", "v_start_wanted_v", "winding")
    scene = scene_of(sheet.job, sheet.place(), takes_of(sheet.readings))

    assert wanted.value == pytest.approx(1.2 * sheet.derived("excitation", "v_knee_iec_v").value)
    assert wanted.note == plan_words(scene)
    assert wanted.note.startswith("Run down in 23 steps or smoothly")


def test_a_missing_method_is_said(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("demagnetising", "winding", v_start_v=500.0)

    assert verdict(sheet, "demagnetising.method") == "not tested"


# Burden


def burden(sheet: Any, volts: float, current: float = 1.0, **more: Any) -> None:
    sheet.key("burden", "connected", v_burden_v=volts, i_burden_a=current, **more)


@pytest.mark.parametrize(
    ("class_text", "volts", "expected"),
    [
        ("5P20 15 VA", 14.0, "within"),
        ("5P20 15 VA", 15.5, "outside"),
        ("5P20 15 VA", 0.5, "within"),
        ("0.5 FS5 10 VA", 6.0, "within"),
        ("0.5 FS5 10 VA", 2.4, "outside"),
        ("PX Ek 200 V Ie 30 mA Rct 2.5 ohm", 6.0, "not applicable"),
    ],
)
def test_the_connected_burden_is_held_against_the_class(
    worksheet: Callable[..., Any], class_text: str, volts: float, expected: str
) -> None:
    sheet = worksheet(class_text)
    burden(sheet, volts, phase_burden_deg=10)

    assert verdict(sheet, "burden.range") == expected


def test_the_burden_is_carried_to_rated_current(worksheet: Callable[..., Any]) -> None:
    """0.5 A at 3 V is 6 ohm, 6 VA at 1 A; at 60 degrees 3 ohm and 5.196 ohm; arithmetic."""
    sheet = worksheet()
    burden(sheet, 3.0, 0.5, phase_burden_deg=60)
    found = [
        sheet.derived("burden", name, "connected").value
        for name in ("z_burden_ohm", "r_burden_ohm", "x_burden_ohm", "burden_connected_va")
    ]

    assert found == pytest.approx([6.0, 3.0, 6.0 * math.sin(math.pi / 3), 6.0])


def test_a_c_class_takes_the_burden_of_its_class(
    worksheet: Callable[..., Any], make_tap: Callable[..., Any]
) -> None:
    """C100 is B-1, 25 VA at 5 A (IEEE C57.13)."""
    heavy, light = (worksheet("C100", [make_tap("X1-X5", 600, 5.0)]) for _ in range(2))
    burden(heavy, 5.5, 5.0)
    burden(light, 4.5, 5.0)

    assert (verdict(heavy, "burden.range"), verdict(light, "burden.range")) == ("outside", "within")


def test_an_angle_that_gives_power_back_is_refused_in_words(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    burden(sheet, 5.0, phase_burden_deg=120)

    assert "a burden takes power" in sheet.found("burden.reading").text


def test_leads_by_length_and_by_measurement_are_compared(worksheet: Callable[..., Any]) -> None:
    """50 m of 2.5 mm2 there and back: 0.741 ohm (IEC 60228, 7.41 ohm/km)."""
    sheet = worksheet()
    sheet.key("burden", wire_area_mm2=2.5, wire_length_m=50, wire_loop="there_and_back")
    burden(sheet, 5.0)
    sheet.key("burden", "leads", v_burden_v=0.70, i_burden_a=1.0)

    assert sheet.derived("burden", "r_wire_ohm", "leads").value == pytest.approx(0.741)
    assert verdict(sheet, "burden.leads") == "within"


def test_leads_counted_one_way_are_no_full_within(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("burden", wire_area_mm2=2.5, wire_length_m=50, wire_loop="one_way")
    burden(sheet, 5.0)

    assert verdict(sheet, "burden.range") == "refer"


# Primary injection


def injected(sheet: Any, row: str, primary: float, secondary: float, residual: float) -> None:
    sheet.key("injection", row, i_primary_a=primary, i_secondary_a=secondary, i_residual_a=residual)


@pytest.mark.parametrize(
    ("residual", "expected"), [(0.004, "within"), (0.998, "outside"), (0.5, "refer"), (0.9, "outside")]
)
def test_the_residual_between_two_phases_tells_polarity(
    worksheet: Callable[..., Any], residual: float, expected: str
) -> None:
    sheet = worksheet()
    injected(sheet, "two_phases", 300.0, 0.5, residual)

    assert verdict(sheet, "injection.residual_two_phases") == expected


@pytest.mark.parametrize(("residual", "expected"), [(0.5, "within"), (0.25, "refer")])
def test_one_phase_returns_whole_through_the_residual(
    worksheet: Callable[..., Any], residual: float, expected: str
) -> None:
    sheet = worksheet()
    injected(sheet, "one_phase", 300.0, 0.5, residual)

    assert verdict(sheet, "injection.residual_one_phase") == expected


@pytest.mark.parametrize(
    ("primary", "secondary", "expected"),
    [(300.0, 0.5, "within"), (300.0, 1.0, "refer"), (60.0, 0.1, "refer")],
)
def test_the_ratio_through_the_circuit_is_told_from_a_quarter_of_rated_current(
    worksheet: Callable[..., Any], primary: float, secondary: float, expected: str
) -> None:
    sheet = worksheet()
    injected(sheet, "one_phase", primary, secondary, secondary)

    assert verdict(sheet, "injection.ratio", "one_phase") == expected


def test_a_row_that_was_not_injected_is_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    injected(sheet, "one_phase", 300.0, 0.5, 0.5)

    assert verdict(sheet, "injection.reading", "two_phases") == "not tested"


# Load


def load(sheet: Any, angles: tuple[float, float, float], current: float = 0.4) -> None:
    for core, angle in enumerate(angles):
        sheet.key("load", core=core, voltage_reference_text="L1-N", i_load_primary_a=current * 600.0)
        sheet.key("load", "load", core=core, i_secondary_a=current, phase_to_reference_deg=angle)


def load_findings(sheet: Any) -> dict[str, str]:
    found: list[Finding] = sheet.findings()
    return {entry.rule: entry.verdict for entry in found if entry.rule.startswith("load.")}


@pytest.mark.parametrize(
    ("angles", "order", "residual"),
    [
        ((-20.0, -140.0, 100.0), "within", "within"),
        ((-20.0, 100.0, -140.0), "refer", "within"),
        ((160.0, -140.0, 100.0), "refer", "outside"),
    ],
)
def test_angles_of_the_phases_tell_order_and_a_phase_turned_round(
    worksheet: Callable[..., Any], angles: tuple[float, float, float], order: str, residual: str
) -> None:
    sheet = worksheet(phases=3)
    load(sheet, angles)
    found = load_findings(sheet)

    assert (found["load.order"], found["load.residual"], found["load.current"]) == (order, residual, "within")


def test_a_light_load_is_an_indication_only(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet(phases=3)
    load(sheet, (-20.0, -140.0, 100.0), current=0.05)

    assert set(load_findings(sheet).values()) == {"refer"}
    assert sheet.derived("load", "load_percent", "load").value == pytest.approx(5.0)


def test_one_phase_alone_tells_no_order(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet(phases=3)
    sheet.key("load", "load", i_secondary_a=0.4, phase_to_reference_deg=-20)

    assert load_findings(sheet) == {
        "load.current": "refer",
        "load.order": "not tested",
        "load.residual": "not tested",
    }


# Ratio against a reference transformer


def test_a_ratio_against_a_reference_is_that_of_the_true_primary_current(
    worksheet: Callable[..., Any],
) -> None:
    """Reference 600/1 with +0.1 %: 1 A there is 599.4 A primary; 0.999 A read is then 0 %; arithmetic."""
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key(
        "ratio",
        ratio_method="comparison",
        k_reference_ratio=600,
        reference_error_percent=0.1,
        burden_in_circuit_va=10,
        burden_power_factor_ratio=0.8,
    )
    sheet.key("ratio", "S1-S2", i_reference_a=1.0, i_secondary_a=1.0 / 1.001, phase_displacement_arcmin=5)

    assert sheet.derived("ratio", "ratio_error_percent", "S1-S2").value == pytest.approx(0.0, abs=1e-9)
    assert verdict(sheet, "ratio.error") == "within"


def compared(worksheet: Callable[..., Any], class_text: str, phase: float, **reference: float) -> Any:
    """A core against a reference transformer of the same ratio, at the burden of its class."""
    sheet = worksheet(class_text)
    sheet.key("ratio", ratio_method="comparison", k_reference_ratio=600, reference_error_percent=0.0)
    power_factor = 0.9 if class_text.startswith("0.3") else 0.8
    sheet.key("ratio", burden_in_circuit_va=12.5 if class_text.startswith("0.3") else 10)
    sheet.key("ratio", burden_power_factor_ratio=power_factor, **reference)
    sheet.key("ratio", "S1-S2", i_reference_a=1.0, i_secondary_a=1.0, phase_displacement_arcmin=phase)
    return sheet


def test_the_displacement_of_the_reference_is_added_to_the_one_read(worksheet: Callable[..., Any]) -> None:
    """Class 0.5 allows 30 minutes at rated current; IEC 61869-2:2012, Table 201."""
    found = compared(worksheet, "0.5 FS5 10 VA", 28.0, reference_phase_arcmin=3.0).found("ratio.phase")

    assert (found.value, found.verdict) == (pytest.approx(31.0), "outside")
    assert "reference transformer" in found.text


def test_a_displacement_against_a_reference_of_unknown_displacement_is_referred(
    worksheet: Callable[..., Any]
) -> None:
    found = compared(worksheet, "0.5 FS5 10 VA", 28.0).found("ratio.phase")

    assert found.verdict == "refer"
    assert "phase displacement of the reference transformer is not stated" in found.text


def test_a_correction_factor_against_a_reference_of_unknown_displacement_is_referred(
    worksheet: Callable[..., Any]
) -> None:
    assert compared(worksheet, "0.3 B-0.5", 2.0).found("ratio.tcf").verdict == "refer"
    assert compared(worksheet, "0.3 B-0.5", 2.0, reference_phase_arcmin=1.0).found("ratio.tcf").value == (
        pytest.approx(1.0 - 3.0 / 2600.0)
    )


def test_the_certificate_of_a_reference_gives_the_uncertainty(worksheet: Callable[..., Any]) -> None:
    """U = sqrt(U_meters^2 + U_certificate^2), k = 2 each; JCGM 100:2008, 5.1.2."""
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.05),)
    sheet.key("ratio", ratio_method="comparison", k_reference_ratio=600, reference_error_percent=0.0)
    sheet.key("ratio", u_reference_error_percent=0.04, u_reference_phase_arcmin=2.0)
    for name in ("i_reference_a", "i_secondary_a"):
        sheet.add("ratio", "S1-S2", name, "1.000000", instrument_id="m1")
    u_meters = 2.0 * math.sqrt(2.0) * 0.05 / math.sqrt(3.0)

    found = sheet.derived("ratio", "ratio_error_percent", "S1-S2")
    assert found.u_expanded == pytest.approx(math.hypot(u_meters, 0.04), rel=1e-6)


def test_a_certificate_without_any_uncertainty_states_none(worksheet: Callable[..., Any]) -> None:
    sheet = compared(worksheet, "0.5 FS5 10 VA", 5.0, u_reference_error_percent=0.0)

    assert sheet.derived("ratio", "ratio_error_percent", "S1-S2").u_expanded is None


def test_a_comparison_without_its_reference_is_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key("ratio", ratio_method="comparison")
    sheet.key("ratio", "S1-S2", i_reference_a=1.0, i_secondary_a=1.0)

    assert "Rated ratio of the reference transformer is not recorded" in sheet.found("ratio.reading").text


# What is derived, and the rarer ends


def test_values_are_derived_row_by_row(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet(phases=2)
    injected(sheet, "two_phases", 300.0, 0.505, 0.0101)
    sheet.key("kick", "S1-S2", kick_make="down", kick_break="up")
    for core, ohm in enumerate((6.6, 6.0)):
        sheet.key("links_back", "loop", core=core, r_proof_ohm=ohm)

    assert sheet.derived("injection", "ratio_error_percent", "two_phases").value == pytest.approx(1.0)
    assert sheet.derived("injection", "i_residual_share_percent", "two_phases").value == pytest.approx(2.0)
    assert sheet.derived("kick", "polarity", "S1-S2").value == "opposes"
    assert sheet.derived("links_back", "r_loop_spread_percent", "loop").value == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("class_text", "volts", "expected"),
    [
        ("0.3 B-0.5", 2.0, "within"),
        ("0.3 B-0.5", 3.0, "outside"),
        ("TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm", 45.0, "within"),
        ("TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm", 55.0, "outside"),
    ],
)
def test_named_and_resistive_burdens_are_limits_as_well(
    worksheet: Callable[..., Any],
    make_tap: Callable[..., Any],
    class_text: str,
    volts: float,
    expected: str,
) -> None:
    """B-0.5 is 12.5 VA at 5 A (IEEE C57.13); 10 ohm are 250 VA at 5 A; arithmetic."""
    sheet = worksheet(class_text, [make_tap("X1-X5", 600, 5.0)])
    burden(sheet, volts, 5.0)

    assert verdict(sheet, "burden.range") == expected


def test_a_burden_without_plate_or_readings_says_so(worksheet: Callable[..., Any]) -> None:
    bare, unread, half = worksheet(taps=[]), worksheet("what is this"), worksheet()
    burden(bare, 5.0)
    burden(unread, 5.0)
    half.key("burden", "connected", i_burden_a=1.0)

    assert verdict(bare, "burden.tap") == "refer"
    assert verdict(unread, "burden.class") == "refer"
    assert verdict(half, "burden.reading") == "not tested"


def test_leads_of_no_standard_cross_section_are_not_guessed(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("burden", wire_area_mm2=2.7, wire_length_m=50)
    burden(sheet, 5.0)
    sheet.key("burden", "leads", v_burden_v=0.7, i_burden_a=1.0)

    assert "burden.leads" not in sheet.rules()


def test_an_injection_that_is_not_whole_is_not_tested(worksheet: Callable[..., Any]) -> None:
    sheet = worksheet()
    sheet.key("injection", "one_phase", i_secondary_a=0.5)
    sheet.key("injection", "two_phases", i_primary_a=300.0, i_secondary_a=0.0, i_residual_a=0.1)

    assert verdict(sheet, "injection.ratio", "one_phase") == "not tested"
    assert verdict(sheet, "injection.residual_one_phase") == "not tested"
    assert verdict(sheet, "injection.ratio", "two_phases") == "not tested"
    assert verdict(sheet, "injection.residual_two_phases") == "not tested"


def test_a_missing_end_and_start_of_demagnetising_are_told_with_the_plan(
    worksheet: Callable[..., Any],
) -> None:
    sheet = worksheet()
    curve(sheet)
    sheet.key("demagnetising", demagnetising_method="ac_ramp")
    sheet.key("demagnetising", "winding", steps_count=22)

    assert verdict(sheet, "demagnetising.end") == "not tested"
    assert "Run down in 23 steps" in sheet.found("demagnetising.start").text
