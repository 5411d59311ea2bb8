"""Excitation from keyed readings to curve, knees and findings of the class."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from ctcore.curve import Knee, NextReading, next_reading
from ctcore.job import Instrument, LimitOverride, ReferenceCurve, ReferencePoint, References
from ctcore.judge import scene_of
from ctcore.judgement.excitation_targets import finer_point
from ctcore.procedures.excitation import CurveView, curve_of
from ctcore.takes import takes_of

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 75, "t_winding_source": "surface_probe"}
AS_ASKED = {
    "tap_id": "S1-S2",
    "frequency_hz": 50,
    "voltage_response": "mean",
    "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since",
    "primary_state": "open",
    "other_cores": "shorted",
    "links": "lifted",
}
# I = 0.02 (V/400)^0.6 + 0.004 (V/400)^18: knees at 386.2177, 353.7082 and 376.452 V (closed form).
VOLTS = np.array(
    [50, 100, 150, 200, 250, 300, 320, 340, 350, 360, 370, 380, 390, 400, 410, 420, 430, 440, 460]
)


def amperes(volts: Any) -> Any:
    return 0.02 * (np.asarray(volts) / 400.0) ** 0.6 + 0.004 * (np.asarray(volts) / 400.0) ** 18


def taken(
    worksheet: Any, class_text: str, *, ohm: float | None = 2.0, volts: Any = VOLTS, **core: Any
) -> Any:
    """A core of that class with its resistance at 75 degC and the curve above."""
    sheet = worksheet(class_text, **core)
    if ohm is not None:
        sheet.key("resistance", **FOUR_WIRE)
        sheet.key("resistance", "S1-S2", r_measured_ohm=ohm)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(volts, amperes(volts))
    return sheet


def view_of(sheet: Any, take: int = 1) -> CurveView:
    takes = takes_of(sheet.readings)
    scene = scene_of(sheet.job, sheet.place(), takes)
    return curve_of(scene, takes["c1", "excitation"][take - 1])


def finer_of(sheet: Any) -> NextReading:
    scene = scene_of(sheet.job, sheet.place(), takes_of(sheet.readings))
    return finer_point(scene, view_of(sheet), scene.core.taps[0])


def test_all_three_knees_are_derived(worksheet: Any) -> None:
    """386.2177, 353.7082, 376.452 V in closed form; 0.3 % for interpolation. Source: IEC 61869-2, 3.4.215."""
    sheet = taken(worksheet, "PX Ek 350 V Ie 30 mA Rct 2.5 ohm")

    assert sheet.derived("excitation", "v_knee_iec_v").value == pytest.approx(386.2177, rel=3e-3)
    assert sheet.derived("excitation", "v_knee_tangent45_v").value == pytest.approx(353.7082, rel=3e-3)
    assert sheet.derived("excitation", "v_knee_tangent30_v").value == pytest.approx(376.452, rel=3e-3)


def test_knees_without_stated_instruments_carry_no_uncertainty(worksheet: Any) -> None:
    assert taken(worksheet, "0.5 10 VA").derived("excitation", "v_knee_iec_v").u_expanded is None


def test_stated_instruments_give_the_knee_its_uncertainty(worksheet: Any) -> None:
    """The part common to all volts does not average out: U is at least 2 x 0.2 %/sqrt3 of the knee."""
    sheet = worksheet("0.5 10 VA")
    sheet.instruments = (Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.2),)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, amperes(VOLTS), instrument_id="m1")

    found = sheet.derived("excitation", "v_knee_iec_v")

    assert found.u_expanded is not None
    assert 2 * 0.002 / 3**0.5 * 386 <= found.u_expanded < 10.0


def test_an_instrument_floor_in_another_dimension_states_nothing(worksheet: Any) -> None:
    sheet = worksheet("0.5 10 VA")
    sheet.instruments = (
        Instrument(instrument_id="m1", name_text="Meter 1", spec_floor=0.1, spec_floor_unit="s"),
    )
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, amperes(VOLTS), instrument_id="m1")

    assert sheet.derived("excitation", "v_knee_iec_v").u_expanded is None


def test_px_above_its_knee_is_within_on_all_three_checks(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 380 V Ie 30 mA Rct 2.5 ohm")

    verdicts = {rule: sheet.found(f"excitation.{rule}").verdict for rule in ("ie_at_ek", "step", "knee")}

    assert verdicts == {"ie_at_ek": "within", "step": "within", "knee": "within"}


def test_px_below_its_rated_knee_is_outside(worksheet: Any) -> None:
    """+10 % raises Ie by at most 50 % at rated Ek. Source: IEC 61869-2:2012, 3.4.215 to 3.4.217."""
    sheet = taken(worksheet, "PX Ek 400 V Ie 20 mA Rct 2.5 ohm")

    verdicts = {rule: sheet.found(f"excitation.{rule}").verdict for rule in ("ie_at_ek", "step", "knee")}

    assert verdicts == {"ie_at_ek": "outside", "step": "outside", "knee": "outside"}


def test_px_can_pass_without_a_knee_inside_the_readings(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 300 V Ie 30 mA Rct 2.5 ohm", volts=VOLTS[:9])

    assert sheet.found("excitation.step").verdict == "within"
    assert "excitation.knee" not in sheet.rules()


def test_px_stopped_below_1_1_ek_is_not_tested_and_says_the_volts(worksheet: Any) -> None:
    found = taken(worksheet, "PX Ek 330 V Ie 30 mA Rct 2.5 ohm", volts=VOLTS[:9]).found("excitation.step")

    assert found.verdict == "not tested"
    assert "363.0" in found.text


def test_px_over_its_current_before_ek_is_outside_all_the_same(worksheet: Any) -> None:
    found = taken(worksheet, "PX Ek 600 V Ie 10 mA Rct 2.5 ohm").found("excitation.ie_at_ek")

    assert found.verdict == "outside"
    assert "Already at" in found.text


def test_px_readings_that_start_too_high_are_not_tested(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 30 V Ie 30 mA Rct 2.5 ohm")

    assert sheet.found("excitation.ie_at_ek").verdict == "not tested"
    assert "start at" in sheet.found("excitation.step").text


def test_px_current_may_be_stated_at_part_of_ek(worksheet: Any) -> None:
    found = taken(worksheet, "PX Ek 380 V Ie 13.5 mA at 50 % Ek Rct 2.5 ohm").found("excitation.ie_at_ek")

    assert found.value == pytest.approx(float(amperes(190.0)), rel=1e-3)


def test_px_without_ek_is_referred(worksheet: Any) -> None:
    assert taken(worksheet, "PX Rct 2.5 ohm").found("excitation.ek").verdict == "refer"


def test_px_without_ie_is_judged_by_its_step_and_referred(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 380 V Rct 2.5 ohm")

    assert sheet.found("excitation.step").verdict == "within"
    assert sheet.found("excitation.ie_at_ek").verdict == "refer"


def test_5p20_by_the_indirect_composite_error(worksheet: Any) -> None:
    """E_ALF = 20 |2 + 12 + 9j| = 332.9 V. Source: IEC 61869-2:2012, 7.2.6.203; quotient from memory."""
    found = taken(worksheet, "5P20 15 VA", low_leakage=True).found("excitation.composite")

    assert (found.verdict, found.limit) == ("within", 5.0)
    assert found.value == pytest.approx(100 * float(amperes(332.866)) / 20, rel=2e-3)


def test_5p20_whose_emf_lies_beyond_the_readings_is_not_tested(worksheet: Any) -> None:
    """E_ALF = 20 |9 + 12 + 9j| = 456.9 V; the readings end at 440 V."""
    found = taken(worksheet, "5P20 15 VA", ohm=9.0, volts=VOLTS[:-1]).found("excitation.composite")

    assert found.verdict == "not tested"
    assert "456.9" in found.text


def test_a_pass_without_low_leakage_is_referred(worksheet: Any) -> None:
    """Source: IEC 61869-2:2012, Annex 2C; that a pass is referred is from memory."""
    found = taken(worksheet, "5P20 15 VA").found("excitation.composite")

    assert found.verdict == "refer"
    assert "low-leakage" in found.text


def test_a_fail_without_low_leakage_is_outside_all_the_same(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([100, 200, 300, 320, 340], [0.1, 0.2, 0.6, 1.5, 4.0])

    assert sheet.found("excitation.composite").verdict == "outside"


def test_readings_that_end_early_but_over_the_error_are_outside(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA", low_leakage=True)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([100, 150, 200, 220], [0.1, 0.2, 0.6, 4.0])

    found = sheet.found("excitation.composite")

    assert found.verdict == "outside"
    assert "Already at" in found.text


def test_without_a_resistance_the_emf_is_not_known(worksheet: Any) -> None:
    found = taken(worksheet, "5P20 15 VA", ohm=None, low_leakage=True).found("excitation.composite")

    assert found.verdict == "not tested"
    assert "winding resistance is not tested yet" in found.text


def test_a_resistance_without_temperature_gives_no_emf(worksheet: Any) -> None:
    sheet = taken(worksheet, "5P20 15 VA", ohm=None, low_leakage=True)
    sheet.key("resistance", leads="four_wire")
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)

    found = sheet.found("excitation.composite")

    assert found.verdict == "not tested"
    assert "Winding temperature is not recorded" in found.text


def test_a_plate_without_output_has_no_emf(worksheet: Any) -> None:
    assert taken(worksheet, "5P20", low_leakage=True).found("excitation.composite").verdict == "refer"


def test_a_pass_that_the_drop_in_the_winding_would_turn_is_referred(worksheet: Any) -> None:
    """At E the error is under 5 %, with I Rct counted in full it is over: the angle would decide."""
    sheet = worksheet("5P20 15 VA", low_leakage=True)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=9.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([200, 400, 440, 460, 480, 500], [0.2, 0.5, 0.8, 1.0, 1.3, 1.8])

    found = sheet.found("excitation.composite")

    assert found.verdict == "refer"
    assert "counted in full" in found.text


def test_a_drop_beyond_the_last_reading_is_referred(worksheet: Any) -> None:
    sheet = worksheet("5P20 15 VA", low_leakage=True)
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=9.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([200, 400, 440, 457], [0.2, 0.4, 0.5, 0.6])

    found = sheet.found("excitation.composite")

    assert found.verdict == "refer"
    assert "end too early" in found.text


def test_a_drop_over_2_percent_of_the_volts_is_told(worksheet: Any) -> None:
    """Source: IEC 61869-2:2012, Annex 2B.2.1."""
    sheet = worksheet("PX Ek 40 V Ie 600 mA Rct 9 ohm")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=9.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([10, 20, 30, 40, 45], [0.01, 0.02, 0.05, 0.1, 0.2])

    assert "drops up to 4.0 %" in sheet.found("excitation.step").text


def test_fs_wants_the_current_below_the_limiting_emf(worksheet: Any) -> None:
    """E_FS = 5 |Rct + Zb|. Source: IEC 61869-2:2012, 7.2.6.202; the 10 % of FS Isr is from memory."""
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([20, 30, 40, 50, 56, 60], [0.01, 0.02, 0.04, 0.2, 0.5, 1.2])

    found = sheet.found("excitation.security")

    assert (found.verdict, found.value) == ("within", pytest.approx(56.0, rel=1e-6))
    assert found.limit == pytest.approx(5 * abs(2 + 8 + 6j), rel=1e-9)


def test_fs_core_that_is_still_stiff_at_its_emf_is_outside(worksheet: Any) -> None:
    assert taken(worksheet, "0.5 FS5 10 VA").found("excitation.security").verdict == "outside"


def test_fs_stopped_short_is_not_tested(worksheet: Any) -> None:
    found = taken(worksheet, "0.5 FS5 10 VA", volts=[10, 20, 30, 40]).found("excitation.security")

    assert found.verdict == "not tested"
    assert "58.31" in found.text


def test_fs_reached_at_the_first_reading_is_within(worksheet: Any) -> None:
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([40, 50, 60], [0.6, 0.9, 1.2])

    assert sheet.found("excitation.security").verdict == "within"


def test_fs_on_a_curve_whose_current_falls_is_referred(worksheet: Any) -> None:
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=2.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([20, 30, 40, 50, 60], [0.1, 0.3, 0.2, 0.4, 0.9])

    assert sheet.found("excitation.security").verdict == "refer"


def test_fs_without_a_resistance_is_not_tested(worksheet: Any) -> None:
    assert taken(worksheet, "0.5 FS5 10 VA", ohm=None).found("excitation.security").verdict == "not tested"


def test_the_uncertainty_of_fs_joins_curve_and_resistance(worksheet: Any) -> None:
    sheet = worksheet("0.5 FS5 10 VA")
    sheet.instruments = (
        Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.2),
        Instrument(instrument_id="m2", name_text="Meter 2", spec_reading_percent=0.0, spec_floor=0.5,
                   spec_floor_unit="degC"),
    )  # fmt: skip
    sheet.key("resistance", leads="four_wire")
    sheet.add("resistance", "method", "t_winding_degc", "75.0", instrument_id="m2")
    sheet.add("resistance", "S1-S2", "r_measured_ohm", "2.0000", instrument_id="m1")
    sheet.key("excitation", **AS_ASKED)
    sheet.points(
        [20, 30, 40, 46, 50, 54, 58, 62], [0.01, 0.02, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6], instrument_id="m1"
    )

    found = sheet.found("excitation.security")

    assert found.u_expanded is not None
    assert 0.1 < found.u_expanded < 1.0


def test_a_class_without_a_limit_on_the_curve_is_not_applicable(worksheet: Any) -> None:
    assert taken(worksheet, "0.5 10 VA").found("excitation.no_limit").verdict == "not applicable"


def test_a_tp_class_wants_peak_readings(worksheet: Any) -> None:
    found = taken(worksheet, "TPY Kssc 20 Ktd 12 Ts 0.5 s Rb 10 ohm").found("excitation.peak")

    assert (found.verdict, found.limit_standing) == ("refer", "from memory")


def relay(worksheet: Any, make_tap: Any, class_text: str, factor: float, ohm: float = 0.5) -> Any:
    """1200:5, 0.5 ohm; the curve of the steel scaled to 400 V times a factor, currents x 50."""
    sheet = worksheet(class_text, [make_tap("S1-S2", 1200, 5, 240)])
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=ohm)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS * factor, amperes(VOLTS) * 50)
    return sheet


def test_c400_is_judged_by_the_phasor_form(worksheet: Any, make_tap: Any) -> None:
    """|100 (0.5 + 2 + 3.464j)| = 427.2 V, 10 A. Source: IEEE C57.13-2016, phasor form from memory."""
    found = relay(worksheet, make_tap, "C400", 1.1).found("excitation.relay")

    assert (found.verdict, found.limit) == ("within", 10.0)
    assert found.value == pytest.approx(50 * float(amperes(427.2 / 1.1)), rel=3e-3)


def test_c400_that_passes_only_the_first_form_is_referred(worksheet: Any, make_tap: Any) -> None:
    """427.2 V by phasors, 450 V by adding: over 10 A only at the second."""
    volts = VOLTS * 1.0
    sheet = worksheet("C400", [make_tap("S1-S2", 1200, 5, 240)])
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=0.5)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(volts, amperes(volts) * 280)

    found = sheet.found("excitation.relay")

    assert found.verdict == "refer"
    assert "stricter form" in found.text


def test_c400_whose_second_form_lies_beyond_the_readings_is_referred(worksheet: Any, make_tap: Any) -> None:
    sheet = relay(worksheet, make_tap, "C400", 435 / 460)

    found = sheet.found("excitation.relay")

    assert found.verdict == "refer"
    assert "beyond the readings" in found.text


def test_c800_stopped_short_is_not_tested(worksheet: Any, make_tap: Any) -> None:
    assert relay(worksheet, make_tap, "C800", 1.1).found("excitation.relay").verdict == "not tested"


def test_c800_over_10_amperes_before_its_emf_is_outside(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("C800", [make_tap("S1-S2", 1200, 5, 240)])
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=0.5)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([100, 200, 300, 350], [0.1, 0.5, 4.0, 15.0])

    assert sheet.found("excitation.relay").verdict == "outside"


def test_c400_of_a_1_ampere_winding_is_2000_volts(worksheet: Any, make_tap: Any) -> None:
    """The number belongs to 5 A, V 5/Isr otherwise. From memory."""
    sheet = worksheet("C400", [make_tap("S1-S2", 1200, 1, 1200)])
    sheet.key("resistance", **FOUR_WIRE)
    sheet.key("resistance", "S1-S2", r_measured_ohm=5.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, amperes(VOLTS))

    found = sheet.found("excitation.relay")

    assert found.verdict == "not tested"
    assert "2 052" in found.text.replace("\u202f", " ")


def test_class_t_passes_never_more_than_refer(worksheet: Any, make_tap: Any) -> None:
    assert relay(worksheet, make_tap, "T400", 1.1).found("excitation.relay").verdict == "refer"


def test_class_k_wants_its_45_degree_knee_at_70_percent(worksheet: Any, make_tap: Any) -> None:
    """280 V for 400. Source: IEEE C57.13 class K, from memory; exact."""
    found = relay(worksheet, make_tap, "K400", 1.1).found("excitation.knee_k")

    assert (found.verdict, found.limit) == ("within", pytest.approx(280.0))


def test_class_k_without_a_resistance_still_has_its_knee(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("K400", [make_tap("S1-S2", 1200, 5, 240)])
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS * 0.7, amperes(VOLTS))

    assert sheet.found("excitation.relay").verdict == "not tested"
    assert sheet.found("excitation.knee_k").verdict == "outside"


def test_class_x_is_the_users_own(worksheet: Any) -> None:
    sheet = taken(worksheet, "X Ek 340 V Ie 25 mA Rct 2.5 ohm")

    assert [sheet.found(f"excitation.{rule}").verdict for rule in ("knee_x", "ie_at_ek")] == [
        "within",
        "within",
    ]


def test_class_x_without_a_knee_in_the_readings_is_not_tested(worksheet: Any) -> None:
    sheet = taken(worksheet, "X Ek 340 V Ie 25 mA Rct 2.5 ohm", volts=VOLTS[:6])

    assert [sheet.found(f"excitation.{rule}").verdict for rule in ("knee_x", "ie_at_ek")] == [
        "not tested"
    ] * 2


def test_class_x_without_figures_is_referred(worksheet: Any) -> None:
    assert taken(worksheet, "X Ie 25 mA").found("excitation.knee_x").verdict == "refer"


def test_class_x_without_a_current_is_judged_by_its_knee(worksheet: Any) -> None:
    assert "excitation.ie_at_ek" not in taken(worksheet, "X Ek 340 V").rules()


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"voltage_response": "true_rms"}, "mean-sensing"),
        ({"voltage_response": None}, "Response of the voltmeter is not recorded"),
        ({"current_response": "mean"}, "true r.m.s."),
        ({"demagnetised": "no"}, "not demagnetised"),
        ({"demagnetised": None}, "is not recorded"),
        ({"primary_state": "not_known"}, "not known"),
        ({"primary_state": "closed"}, "primary was closed"),
        ({"links": "closed"}, "links were closed"),
        ({"links": None}, "State of the links is not recorded"),
        ({"frequency_hz": None}, "Frequency is not recorded"),
        ({"frequency_hz": "0"}, "not above zero"),
    ],
)
def test_a_pass_under_doubtful_conditions_is_referred(worksheet: Any, changed: Any, words: str) -> None:
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm")
    method = {key: value for key, value in {**AS_ASKED, **changed}.items() if value is not None}
    sheet.key("excitation", **method)
    sheet.points(VOLTS, amperes(VOLTS))

    found = sheet.found("excitation.ie_at_ek")

    assert found.verdict == "refer"
    assert words in found.text


def test_a_fail_with_the_wrong_meter_stays_outside(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 1 mA Rct 2.5 ohm")
    sheet.key("excitation", **{**AS_ASKED, "voltage_response": "true_rms"})
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.found("excitation.ie_at_ek").verdict == "outside"


def test_a_fail_with_the_primary_closed_is_referred(worksheet: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 1 mA Rct 2.5 ohm")
    sheet.key("excitation", **{**AS_ASKED, "primary_state": "closed"})
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.found("excitation.ie_at_ek").verdict == "refer"


def test_another_frequency_scales_the_volts_and_says_so(worksheet: Any) -> None:
    """Flux goes as V/f: 60 Hz volts times 50/60. Source: arithmetic."""
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("excitation", **{**AS_ASKED, "frequency_hz": 60})
    sheet.points(VOLTS * 1.2, amperes(VOLTS))

    assert sheet.derived("excitation", "v_highest_v").value == pytest.approx(460.0)
    assert "scaled by 0.8333 to 50" in sheet.found("excitation.ie_at_ek").text


def test_a_lower_tap_is_compared_only(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    sheet.key("excitation", **AS_ASKED)
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.found("excitation.ie_at_ek").verdict == "refer"


def test_not_saying_which_of_two_taps_was_fed_is_referred(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    sheet.key("excitation", frequency_hz=50)
    sheet.points(VOLTS, amperes(VOLTS))

    assert sheet.found("excitation.tap").verdict == "refer"


def test_curves_of_two_taps_stand_beside_each_other(worksheet: Any, make_tap: Any) -> None:
    sheet = worksheet("PX Ek 300 V Ie 30 mA Rct 2.5 ohm", [make_tap("S1-S2", 300), make_tap("S1-S3", 600)])
    for take, fed in ((1, "s1 - s3"), (2, "S1-S2")):
        sheet.key("excitation", take=take, **{**AS_ASKED, "tap_id": fed})
        sheet.points(VOLTS, amperes(VOLTS), take=take)

    verdicts = {
        entry.take: entry.verdict for entry in sheet.findings() if entry.rule == "excitation.ie_at_ek"
    }

    assert verdicts == {1: "within", 2: "refer"}


def test_fewer_than_three_points_are_no_curve(worksheet: Any) -> None:
    found = taken(worksheet, "PX Ek 300 V Ie 30 mA Rct 2.5 ohm", volts=VOLTS[:2]).found("excitation.curve")

    assert found.verdict == "not tested"
    assert "Three points" in found.text


def test_a_point_without_its_current_is_left_out_and_said(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 300 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("excitation", "99", v_excitation_v=470)

    found = sheet.found("excitation.left_out")

    assert found.verdict == "refer"
    assert sheet.derived("excitation", "v_excitation_v", "99").note


@pytest.mark.parametrize("least", [0.0, 5e-324, 1e-300])
def test_a_point_of_zero_is_left_out(worksheet: Any, least: float) -> None:
    sheet = taken(worksheet, "0.5 10 VA", volts=np.concatenate(([least], VOLTS)))

    assert [entry.row for entry in view_of(sheet).left_out] == ["1"]


def test_a_point_that_stepped_back_stands_beside_the_curve(worksheet: Any) -> None:
    sheet = taken(worksheet, "0.5 10 VA", volts=[100, 200, 300, 250, 350, 400])

    view = view_of(sheet)

    assert [point.row for point in view.reversed] == ["4"]
    assert [point.voltage_v for point in view.kept] == [100, 200, 300, 350, 400]
    assert sheet.found("excitation.reversed").verdict == "refer"
    assert "Went down" in sheet.derived("excitation", "v_excitation_v", "4").note


def test_a_struck_row_stands_beside_the_curve_with_its_numbers(worksheet: Any) -> None:
    sheet = taken(worksheet, "0.5 10 VA")
    first = [entry for entry in sheet.readings if entry.procedure_id == "excitation" and entry.row == "3"]
    for entry in first:
        sheet.add(
            "excitation", "3", entry.quantity_id, "", value_text=None, struck=True,
            supersedes_id=entry.reading_id, reason_text="range changed",
        )  # fmt: skip

    view = view_of(sheet)

    assert [(point.row, point.voltage_v) for point in view.struck] == [("3", 150.0)]
    assert len(view.kept) == len(VOLTS) - 1


def test_a_curve_that_bends_out_of_its_readings_names_the_next_volts(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 380 V Ie 30 mA Rct 2.5 ohm", volts=[100, 200, 300])

    view = view_of(sheet)
    assert (view.next_voltage_v, view.next_reason_text) == (324.0, "the class wants readings further up")


def test_volts_and_reason_of_the_next_point_are_those_of_the_curve_once_the_class_has_enough(
    worksheet: Any
) -> None:
    """A curve that begins beyond the knee wants a lower reading, not a higher one."""
    sheet = taken(worksheet, "PX Ek 380 V Ie 30 mA Rct 2.5 ohm", volts=[405, 415, 425, 435, 445, 455])

    view, advice = view_of(sheet), next_reading(view_of(sheet).curve)
    assert "take a lower one" in advice.reason_text
    assert (view.next_voltage_v, view.next_reason_text) == (advice.voltage_v, advice.reason_text)


def test_the_next_volts_at_sixty_hertz_are_those_of_the_knob(worksheet: Any) -> None:
    """Flux goes with V/f; IEC 61869-2:2012, 3.4.215 has the knee at rated frequency (arithmetic)."""
    sheet = worksheet("PX Ek 380 V Ie 30 mA Rct 2.5 ohm")
    sheet.key("excitation", **{**AS_ASKED, "frequency_hz": 60})
    sheet.points([120, 240, 360], [0.01, 0.02, 0.03])

    assert view_of(sheet).next_voltage_v == pytest.approx(324.0 * 1.2)


def test_a_finer_knee_is_not_sought_beyond_the_ceiling_of_the_job(worksheet: Any) -> None:
    sheet = taken(worksheet, "0.5 10 VA", volts=VOLTS[:8])
    free = finer_of(sheet)
    sheet.references = References(voltage_ceiling_v=VOLTS[7] + 1.0)

    held = finer_of(sheet)
    assert free.voltage_v is not None
    assert free.voltage_v > VOLTS[7] + 1.0
    assert (held.voltage_v, held.reason_text) == (
        None, f"{free.reason_text}; the ceiling of the job ends before it"
    )  # fmt: skip


def test_near_the_volts_wanted_these_come_next(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 300 V Ie 30 mA Rct 2.5 ohm", volts=VOLTS[:7])

    assert view_of(sheet).next_voltage_v == pytest.approx(330.0)


def test_the_next_volts_never_pass_the_ceiling_of_the_job(worksheet: Any, make_tap: Any) -> None:
    """100 V on 20 of 240 turns is 1200 V across all. Source: arithmetic."""
    taps = [make_tap("S1-S2", 100, 5, 20), make_tap("S1-S5", 1200, 5, 240)]
    sheet = worksheet("C400", taps)
    sheet.references = References(voltage_ceiling_v=600.0)
    sheet.key("excitation", **AS_ASKED)
    sheet.points([20, 30, 48], [0.01, 0.02, 0.03])

    assert view_of(sheet).next_voltage_v is None


def test_readings_that_hold_the_knee_and_the_class_want_no_more(worksheet: Any) -> None:
    view = view_of(taken(worksheet, "PX Ek 380 V Ie 30 mA Rct 2.5 ohm"))

    assert view.next_voltage_v is None
    assert isinstance(view.knees["iec"], Knee)
    assert view.tap_id == "S1-S2"


def test_a_knee_that_is_not_reached_says_why(worksheet: Any) -> None:
    sheet = taken(worksheet, "0.5 10 VA", volts=VOLTS[:8])

    found = sheet.derived("excitation", "v_knee_iec_v")

    assert found.value is None
    assert "not reached" in found.note


@pytest.mark.parametrize(
    ("factor", "verdict"),
    [(1.2, "within"), (1.3, "outside")],
)
def test_a_relay_class_lies_within_125_percent_of_its_reference_below_the_knee(
    worksheet: Any, make_tap: Any, factor: float, verdict: str
) -> None:
    """Ie at most 125 % of the curve. Source: IEEE C57.13, from memory."""
    sheet = worksheet("C100", [make_tap("S1-S2", 1200, 5, 240)])
    points = tuple(ReferencePoint(voltage_v=float(v), current_a=float(amperes(v))) for v in VOLTS)
    sheet.references = References(
        curves=(
            ReferenceCurve(
                core_id="c1", tap_id="S1-S2", kind="certificate", source_text="routine test 118",
                frequency_hz=50, voltage_response="mean", current_response="true_rms", points=points,
            ),
        )
    )  # fmt: skip
    sheet.key("excitation", **AS_ASKED)
    excess = np.zeros(VOLTS.size)
    excess[:5] = [1.0, 1.0, 1.0, 0.5, 0.25]
    sheet.points(VOLTS, amperes(VOLTS) * (1.0 + (factor - 1.0) * excess))

    assert sheet.found("excitation.envelope").verdict == verdict


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"frequency_hz": 60}, "60"),
        ({"voltage_response": "true_rms"}, "voltage meters are unlike"),
        ({"current_response": ""}, "current meter of one curve is not known"),
        ({"points": ()}, "is no curve"),
        ({"points": (ReferencePoint(voltage_v=1, current_a=1), ReferencePoint(voltage_v=2, current_a=2),
                     ReferencePoint(voltage_v=3, current_a=3))}, "No reading lies"),
    ],
)  # fmt: skip
def test_a_reference_that_is_unlike_is_not_compared(worksheet: Any, change: Any, words: str) -> None:
    sheet = taken(worksheet, "0.5 10 VA")
    fields: dict[str, Any] = {
        "core_id": "c1", "tap_id": "S1-S2", "kind": "previous", "source_text": "sheet 7",
        "frequency_hz": 50, "voltage_response": "mean", "current_response": "true_rms", "points": (),
        **change,
    }  # fmt: skip
    sheet.references = References(curves=(ReferenceCurve(**fields),))

    found = sheet.found("excitation.envelope")

    assert found.verdict == "refer"
    assert words in found.text


@pytest.mark.parametrize("factor", [1.0, 2.0])
def test_an_iec_class_has_no_envelope_and_is_referred(worksheet: Any, factor: float) -> None:
    sheet = taken(worksheet, "0.5 10 VA")
    points = tuple(ReferencePoint(voltage_v=float(v), current_a=float(amperes(v)) / factor) for v in VOLTS)
    sheet.references = References(
        curves=(
            ReferenceCurve(
                core_id="c1", tap_id="S1-S2", kind="previous", source_text="sheet 7",
                frequency_hz=50, voltage_response="mean", current_response="true_rms", points=points,
            ),
        )
    )  # fmt: skip

    assert sheet.found("excitation.envelope").verdict == "refer"


def test_a_limit_of_the_office_for_this_core_goes_before_one_for_all(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 300 V Ie 1 mA Rct 2.5 ohm")
    common = {"rule": "excitation.ie_at_ek", "limit_low": None, "reason_text": "r", "person_text": "p"}
    sheet.references = References(
        limit_overrides=(
            LimitOverride(core_id="c1", limit_high=0.05, **common),  # type: ignore[arg-type]
            LimitOverride(core_id="", limit_high=0.002, **common),  # type: ignore[arg-type]
        )
    )

    assert sheet.found("excitation.ie_at_ek").limit == 0.05


def test_a_limit_of_the_office_without_a_figure_is_referred(worksheet: Any) -> None:
    sheet = taken(worksheet, "PX Ek 300 V Ie 1 mA Rct 2.5 ohm")
    sheet.references = References(
        limit_overrides=(
            LimitOverride(
                rule="excitation.ie_at_ek", core_id="", limit_low=None, limit_high=None,
                reason_text="r", person_text="p",
            ),
        )
    )  # fmt: skip

    assert sheet.found("excitation.ie_at_ek").verdict == "refer"
