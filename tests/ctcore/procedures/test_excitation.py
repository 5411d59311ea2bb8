"""The curve from keyed readings: its points, the next volts, references, limits of the office."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from ctcore.curve import Knee, next_reading
from ctcore.job import LimitOverride, ReferenceCurve, ReferencePoint, References
from tests.ctcore.procedures.keyed_curve import AS_ASKED, VOLTS, amperes, finer_of, taken, view_of


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
    worksheet: Any,
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
