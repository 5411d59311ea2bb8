"""The course of a curve, factors of ten and a thousand, copies, and the meters that took it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from ctcore.job import Instrument, ReferenceCurve, ReferencePoint, References
from tests.ctcore.notices.windings import VOLTS, Winding

CURVE = Winding().curve(VOLTS)


def apart(spread: float) -> list[tuple[float, float]]:
    return Winding(i_magnetising_a=0.04 * spread, i_loss_a=0.02 * spread).curve(VOLTS)


def test_a_curve_taken_downwards_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE[::-1])

    assert "was taken downwards" in made.noticed("curve_went_down")[0].sentence


def test_a_step_back_is_noticed_at_its_row(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", [*CURVE[:8], (180.0, 0.0195), *CURVE[8:]])
    (notice,) = made.noticed("curve_went_down")

    assert notice.row == "9"


def test_a_curve_going_up_is_in_order(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE)

    assert made.all_noticed() == []


def test_no_curve_has_no_course(bay: Callable[..., Any]) -> None:
    made = bay()

    assert "No curve of three readings" in made.reason("curve_went_down")
    assert "No curve of three readings" in made.reason("not_saturated")


def test_a_curve_that_stops_before_its_knee_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.resistances("L1-1")
    made.curve("L1-1", CURVE[:8])
    (notice,) = made.noticed("not_saturated")

    assert "readings end at" in notice.sentence
    assert "the class asks for" in notice.sentence


@pytest.mark.parametrize(("factor", "text"), [(1000.0, "3.94"), (1e-3, "3.94")])
def test_a_whole_curve_in_another_unit_is_offered_in_the_right_one(
    bay: Callable[..., Any], factor: float, text: str
) -> None:
    made = bay()
    made.windings()
    made.readings = [entry for entry in made.readings if entry.core_id != "L2-1"]
    made.curve("L2-1", [(volts, amperes * factor) for volts, amperes in CURVE])
    (notice,) = made.noticed("factor_1000")

    assert notice.cores == ("L2-1",)
    assert notice.offer is not None
    assert len(notice.offer.entries) == len(CURVE)
    assert float(notice.offer.entries[0].text) == pytest.approx(float(text), rel=0.02)


def test_kilovolts_keyed_for_volts_are_offered(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings()
    made.readings = [entry for entry in made.readings if entry.core_id != "L2-1"]
    made.curve("L2-1", [(volts / 1000.0, amperes) for volts, amperes in CURVE])
    (notice,) = made.noticed("factor_1000")

    assert notice.offer is not None
    assert {entry.quantity_id for entry in notice.offer.entries} == {"v_excitation_v"}
    assert float(notice.offer.entries[-1].text) == pytest.approx(460.0, rel=0.01)


def test_a_plate_with_ie_tells_a_unit_without_sisters(bay: Callable[..., Any]) -> None:
    made = bay(classes={"L1-1": "PX Ek 380 V Ie 60 mA Rct 4 ohm"})
    made.curve("L1-1", [(volts, amperes * 1000.0) for volts, amperes in CURVE])

    assert made.cores_noticed("factor_1000") == [("L1-1",)]


def test_a_resistance_in_milliohm_is_offered(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase, ohm in (("L1", 3010.0), ("L2", 3.0), ("L3", 2.98)):
        made.key(f"{phase}-1", "resistance", "S1-S3", r_measured_ohm=ohm)
    (notice,) = made.noticed("factor_1000")

    assert notice.offer is not None
    assert [entry.text for entry in notice.offer.entries] == ["3.0100"]


def test_an_insulation_in_gigohm_is_offered(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase, ohm in (("L1", 2.1e6), ("L2", 2.0e9), ("L3", 2.2e9)):
        made.key(f"{phase}-1", "insulation", "secondary_earth", insulation_resistance_ohm=ohm)
    (notice,) = made.noticed("factor_1000")

    assert notice.offer is not None
    assert float(notice.offer.entries[0].text) == 2100.0


def test_sisters_of_one_size_raise_no_factor(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings()

    assert made.all_noticed() == []


def test_a_factor_needs_something_to_be_seen_from(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE)

    assert "No reading that a sister phase" in made.reason("factor_1000")


@pytest.mark.parametrize("row", [1, 5, 9, 15])
@pytest.mark.parametrize("factor", [10.0, 0.1])
def test_a_current_a_decade_off_is_offered_right(bay: Callable[..., Any], row: int, factor: float) -> None:
    made = bay()
    slipped = [(v, i * factor if number == row else i) for number, (v, i) in enumerate(CURVE, start=1)]
    made.curve("L1-1", slipped)
    (notice,) = made.noticed("decimal_slip")

    assert (notice.row, notice.offer is not None) == (str(row), True)
    assert notice.offer is not None
    assert float(notice.offer.entries[0].text) == pytest.approx(1000.0 * CURVE[row - 1][1], rel=1e-3)


@pytest.mark.parametrize("factor", [10.0, 0.1])
def test_volts_a_decade_off_are_offered_right(bay: Callable[..., Any], factor: float) -> None:
    made = bay()
    made.curve("L1-1", [(v * factor if n == 7 else v, i) for n, (v, i) in enumerate(CURVE, start=1)])
    (notice,) = made.noticed("decimal_slip")

    assert notice.offer is not None
    assert notice.offer.entries[0].quantity_id == "v_excitation_v"
    assert float(notice.offer.entries[0].text) == pytest.approx(CURVE[6][0], rel=1e-3)


def test_a_resistance_a_decade_off_its_sisters_is_offered(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase, ohm in (("L1", 0.301), ("L2", 3.0), ("L3", 2.98)):
        made.key(f"{phase}-1", "resistance", "S1-S3", r_measured_ohm=ohm)

    assert made.cores_noticed("decimal_slip") == [("L1-1",)]


def test_a_slip_needs_neighbours_or_sisters(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE[:3])

    assert "No curve of four points" in made.reason("decimal_slip")


def test_currents_equal_to_the_last_digit_are_a_copy(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE)
    made.curve("L2-1", CURVE)
    made.curve("L3-1", apart(1.03))

    assert made.cores_noticed("identical_phases") == [("L1-1", "L2-1")]


def test_resistances_of_two_taps_equal_to_five_digits_are_a_copy(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase in ("L1", "L2", "L3"):
        made.key(f"{phase}-1", "resistance", "S1-S2", r_measured_ohm="1.4837")
        made.key(f"{phase}-1", "resistance", "S1-S3", r_measured_ohm="2.9912")

    assert made.cores_noticed("identical_phases") == [("L1-1", "L2-1", "L3-1")]


def test_one_short_reading_alike_is_chance(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase in ("L1", "L2", "L3"):
        made.key(f"{phase}-1", "resistance", "S1-S3", r_measured_ohm="2.991")

    assert made.noticed("identical_phases") == []


def test_one_phase_has_nothing_to_be_copied_from(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE)

    assert "Fewer than two phases" in made.reason("identical_phases")
    assert "no earlier one" in made.reason("copied_from_before")


def reference(rows: list[tuple[float, float]], hertz: float = 50.0) -> References:
    points = tuple(ReferencePoint(voltage_v=float(f"{v:.5g}"), current_a=float(f"{i:.5g}")) for v, i in rows)
    entry = ReferenceCurve(
        core_id="L1-1",
        tap_id="S1-S3",
        kind="previous",
        source_text="the test of 2019",
        frequency_hz=hertz,
        voltage_response="mean",
        points=points,
    )
    return References(curves=(entry,))


def test_points_of_an_earlier_test_are_noticed(bay: Callable[..., Any]) -> None:
    made = bay(references=reference(CURVE))
    made.curve("L1-1", CURVE)

    assert "of the test of 2019 to the last digit" in made.noticed("copied_from_before")[0].sentence


def test_points_of_ones_own_are_not(bay: Callable[..., Any]) -> None:
    made = bay(references=reference(apart(1.02)))
    made.curve("L1-1", CURVE)

    assert made.noticed("copied_from_before") == []


def test_sixty_hertz_on_a_job_of_fifty_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE, frequency_hz=60)

    assert "0.833 times" in made.noticed("other_frequency")[0].sentence


def test_a_reference_curve_at_sixty_hertz_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay(references=reference(apart(1.02), hertz=60.0))
    made.curve("L1-1", CURVE)

    assert "the test of 2019 was taken at" in made.noticed("other_frequency")[0].sentence


def test_rated_frequency_raises_nothing_and_none_is_not_judged(bay: Callable[..., Any]) -> None:
    made = bay()
    assert "No curve states its frequency" in made.reason("other_frequency")
    made.curve("L1-1", CURVE, frequency_hz=50.1)
    assert made.noticed("other_frequency") == []


METER = Instrument(instrument_id="m", name_text="Voltmeter 1", response="true_rms", due_on="2026-05-03")


def test_a_meter_of_another_response_than_noted_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay(instruments=(METER,))
    made.curve("L1-1", [])
    made.key("L1-1", "excitation", "1", v_excitation_v=20.0, instrument_id="m")

    assert "noted as average-sensing, the meter is true r.m.s." in made.noticed("unlike_meters")[0].sentence


def test_two_meters_on_one_curve_are_noticed(bay: Callable[..., Any]) -> None:
    other = Instrument(instrument_id="n", name_text="Voltmeter 2", response="mean")
    made = bay(instruments=(METER, other))
    made.curve("L1-1", [])
    made.key("L1-1", "excitation", "1", v_excitation_v=20.0, instrument_id="m")
    made.key("L1-1", "excitation", "2", v_excitation_v=40.0, instrument_id="n")

    assert "were read by average-sensing and true r.m.s. meters" in made.noticed("unlike_meters")[0].sentence


def test_sisters_by_unlike_meters_are_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE, voltage_response="true_rms")
    made.curve("L2-1", apart(1.03))

    assert set(made.cores_noticed("unlike_meters")) == {("L1-1",), ("L2-1",)}


def test_meters_that_are_not_noted_are_not_judged(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", CURVE, voltage_response=None)

    assert "The response of the voltmeter is not recorded" in made.reason("unlike_meters")


def test_a_calibration_that_ended_the_day_before_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay(instruments=(METER,))
    made.key("L1-1", "resistance", "S1-S3", r_measured_ohm=3.0, instrument_id="m")

    assert "its calibration had ended on 2026-05-03" in made.noticed("calibration_ended")[0].sentence


def test_a_calibration_to_the_day_itself_holds(bay: Callable[..., Any]) -> None:
    made = bay(instruments=(Instrument(instrument_id="m", name_text="Ohmmeter", due_on="2026-05-04"),))
    made.key("L1-1", "resistance", "S1-S3", r_measured_ohm=3.0, instrument_id="m")

    assert made.noticed("calibration_ended") == []


def test_without_a_date_of_calibration_nothing_is_judged(bay: Callable[..., Any]) -> None:
    assert "No reading names an instrument" in bay().reason("calibration_ended")
