"""Classes C, T, K and X by their curves."""

from __future__ import annotations

from typing import Any

import pytest

from tests.ctcore.procedures.keyed_curve import AS_ASKED, FOUR_WIRE, VOLTS, amperes, relay, taken


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
