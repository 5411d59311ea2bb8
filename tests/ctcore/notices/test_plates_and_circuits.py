"""Plates, swapped cores and serial numbers, earths, links, burden and duty."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from ctcore.job import References, ReferenceValue, Tap
from tests.ctcore.notices.windings import VOLTS, Winding

AT_75 = "r_winding_75degc_ohm"
PHASES = ("L1", "L2", "L3")


def test_turns_against_rated_currents_are_a_contradiction(bay: Callable[..., Any]) -> None:
    odd = Tap(
        tap_id="S1-S2",
        terminals_text="S1-S2",
        i_primary_rated_a=600.0,
        i_secondary_rated_a=5.0,
        turns_secondary_count=600.0,
    )
    made = bay(more={"L1-1": {"taps": (odd,)}})

    assert "a ratio of 120, and has 600 turns" in made.noticed("plate_contradiction")[0].sentence


def test_the_va_keyed_as_resistance_is_noticed_when_the_winding_differs(bay: Callable[..., Any]) -> None:
    made = bay(more={"L1-1": {"r_winding_75degc_plate_ohm": 15.0}})
    made.resistances("L1-1")

    assert "Was the burden read as the resistance?" in made.noticed("plate_contradiction")[0].sentence


def test_a_class_unlike_that_of_two_sisters_is_noticed(bay: Callable[..., Any]) -> None:
    made = bay(classes={"L3-1": "5P10 15 VA"})

    assert made.cores_noticed("plate_contradiction") == [("L3-1",)]


def test_plates_that_agree_raise_nothing(bay: Callable[..., Any]) -> None:
    made = bay(more={"L1-1": {"r_winding_75degc_plate_ohm": 4.0}})
    made.resistances("L1-1")

    assert made.noticed("plate_contradiction") == []


def test_a_class_that_cannot_be_read_is_not_judged(bay: Callable[..., Any]) -> None:
    made = bay(classes={"L1-1": "5Q20"}, more={"L2-1": {"taps": ()}})

    assert "cannot be read" in made.reason("plate_contradiction")
    assert "names no terminals" in made.reason("plate_contradiction", "L2-1")
    assert "no class or no terminals" in made.reason("other_limit_factor")


def test_a_curve_good_for_a_smaller_limit_factor_is_noticed(bay: Callable[..., Any]) -> None:
    """E at 20 x (3.65 + 12 + j9) ohm is 361 V; a knee of 230 V, holding well past it, falls short of that."""
    made = bay()
    made.resistances("L1-1")
    small = Winding(v_knee_v=230.0)
    made.curve("L1-1", small.curve([v * 230.0 / 400.0 for v in [*VOLTS, 480.0, 500.0, 520.0, 560.0]]))
    (notice,) = made.noticed("other_limit_factor")

    assert "Was 5P15 read as 5P20?" in notice.sentence


def test_a_curve_that_holds_the_factor_of_the_plate_is_in_order(bay: Callable[..., Any]) -> None:
    made = bay()
    made.resistances("L1-1")
    made.curve("L1-1", Winding().curve(VOLTS))

    assert made.noticed("other_limit_factor") == []


def test_a_limit_factor_needs_curve_and_resistance(bay: Callable[..., Any]) -> None:
    assert "curve or resistance are missing" in bay().reason("other_limit_factor")


def test_taps_off_one_line_per_turn_are_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", Winding().curve(VOLTS))
    half = [(volts / 2.4, 2.0 * amperes) for volts, amperes in Winding().curve(VOLTS)]
    made.curve("L1-1", half, take=2, tap_id="S1-S2")

    assert made.cores_noticed("curves_against_turns") == [("L1-1",)]


def test_taps_on_one_line_per_turn_are_in_order(bay: Callable[..., Any]) -> None:
    made = bay()
    made.curve("L1-1", Winding().curve(VOLTS))
    half = [(volts / 2.0, 2.0 * amperes) for volts, amperes in Winding().curve(VOLTS)]
    made.curve("L1-1", half, take=2, tap_id="S1-S2")

    assert made.noticed("curves_against_turns") == []
    assert "Curves of two taps are needed" in made.reason("curves_against_turns", "L2-1")


def two_kinds(made: Any, *, swapped: str = "") -> None:
    large, small = Winding(), Winding(v_knee_v=66.0, i_magnetising_a=0.004, i_loss_a=0.002)
    for phase, spread in zip(PHASES, (1.0, 1.02, 0.98), strict=True):
        first, second = ("2", "1") if phase == swapped else ("1", "2")
        made.curve(f"{phase}-{first}", [(v, i * spread) for v, i in large.curve(VOLTS)])
        made.curve(f"{phase}-{second}", [(v, i * spread) for v, i in small.curve([v / 6 for v in VOLTS])])


def test_two_cores_that_measure_as_each_other_are_swapped(bay: Callable[..., Any]) -> None:
    made = bay(cores=2)
    two_kinds(made, swapped="L2")

    assert made.cores_noticed("swapped_cores") == [("L2-1", "L2-2")]


def test_cores_under_their_own_numbers_are_in_order(bay: Callable[..., Any]) -> None:
    made = bay(cores=2)
    two_kinds(made)

    assert made.noticed("swapped_cores") == []


def test_plates_tell_swapped_cores_without_sisters(bay: Callable[..., Any]) -> None:
    made = bay(cores=2, classes={"L1-2": "0.5 FS5 10 VA"})
    made.resistances("L1-1")
    made.resistances("L1-2")
    made.curve("L1-1", Winding(v_knee_v=50.0).curve([v / 8 for v in VOLTS]))
    made.curve("L1-2", Winding(v_knee_v=420.0).curve([*VOLTS, 480.0, 500.0]))

    assert "each would fit the plate of the other" in made.noticed("swapped_cores")[0].sentence


def test_one_core_cannot_be_swapped(bay: Callable[..., Any]) -> None:
    assert "One core only" in bay().reason("swapped_cores")


def history(**ohms: float) -> References:
    return References(
        values=tuple(
            ReferenceValue(
                core_id=f"{phase}-1",
                row="S1-S3",
                quantity_id=AT_75,
                kind="certificate",
                value=ohm,
                source_text="certificate",
            )
            for phase, ohm in ohms.items()
        )
    )


def keyed(made: Any, **ohms: float) -> None:
    for phase, ohm in ohms.items():
        made.key(f"{phase}-1", "resistance", leads="four_wire", t_winding_degc=75)
        made.key(f"{phase}-1", "resistance", "S1-S3", r_measured_ohm=ohm)


def test_phases_that_fit_each_others_certificate_have_swapped_serials(bay: Callable[..., Any]) -> None:
    made = bay(references=history(L1=3.0, L2=3.2, L3=3.1))
    keyed(made, L1=3.202, L2=3.001, L3=3.098)
    (notice,) = made.noticed("swapped_serials")

    assert notice.cores == ("L1-1", "L2-1")
    assert "S-L1" in notice.sentence


def test_phases_that_fit_their_own_certificate_do_not(bay: Callable[..., Any]) -> None:
    made = bay(references=history(L1=3.0, L2=3.2, L3=3.1))
    keyed(made, L1=3.002, L2=3.201, L3=3.098)

    assert made.noticed("swapped_serials") == []


def test_serials_need_a_history_of_two_phases(bay: Callable[..., Any]) -> None:
    made = bay(references=history(L1=3.0))
    keyed(made, L1=3.2, L2=3.0)

    assert "Fewer than two phases" in made.reason("swapped_serials")


@pytest.mark.parametrize(
    ("procedure", "quantity", "count"),
    [("visual", "earths_found_count", 2), ("visual", "earths_found_count", 0),
     ("links_back", "earths_left_count", 2)],
)  # fmt: skip
def test_earths_that_are_not_one_are_noticed(
    bay: Callable[..., Any], procedure: str, quantity: str, count: int
) -> None:
    made = bay()
    made.key("L1-1", procedure, **{quantity: count})

    assert [entry.procedure for entry in made.noticed("earth_count")] == [procedure]


def test_one_earth_is_in_order_and_none_counted_is_not_judged(bay: Callable[..., Any]) -> None:
    made = bay()
    assert "were not counted" in made.reason("earth_count")
    made.key("L1-1", "visual", earths_found_count=1)
    assert made.noticed("earth_count") == []


def test_links_closed_unlike_those_found_are_noticed(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "visual", links_found_count=12, links_lifted_count=12)
    made.key("L1-1", "links_back", links_closed_count=11)

    assert "11 links closed, 12 were found closed" in made.noticed("links_unequal")[0].sentence.replace(
        "\u00a0", " "
    )


def test_links_lifted_stand_in_for_links_found(bay: Callable[..., Any]) -> None:
    made = bay()
    made.key("L1-1", "visual", links_lifted_count=4)
    made.key("L1-1", "links_back", links_closed_count=5)

    assert "were lifted" in made.noticed("links_unequal")[0].sentence


def test_equal_links_are_in_order_and_uncounted_ones_not_judged(bay: Callable[..., Any]) -> None:
    made = bay()
    assert "were not counted" in made.reason("links_unequal")
    made.key("L1-1", "visual", links_found_count=4, links_lifted_count=4)
    made.key("L1-1", "links_back", links_closed_count=4)
    assert made.noticed("links_unequal") == []


def burden(made: Any, core: str, volts: float) -> None:
    made.key(core, "burden", "connected", v_burden_v=volts, i_burden_a=1.0, phase_burden_deg=10)


def test_too_heavy_and_too_light_burdens_are_noticed(bay: Callable[..., Any]) -> None:
    made = bay(cores=2, classes={f"{phase}-2": "0.5 FS5 10 VA" for phase in PHASES})
    burden(made, "L1-1", 16.0)
    burden(made, "L1-2", 2.0)
    burden(made, "L2-1", 2.0)

    assert made.cores_noticed("burden_outside_range") == [("L1-1",), ("L1-2",)]


def test_a_burden_that_was_not_measured_is_not_judged(bay: Callable[..., Any]) -> None:
    made = bay()
    assert "was not measured" in made.reason("burden_outside_range")
    made.key("L1-1", "burden", "connected", v_burden_v=5.0)
    assert "Current in the burden is not recorded" in made.reason("burden_outside_range")


@pytest.mark.parametrize(
    ("class_text", "duty", "noticed"),
    [
        ("0.5 FS5 10 VA", "distance protection", True),
        ("5P20 15 VA", "billing meter", True),
        ("5P20 15 VA", "differential relay", False),
        ("0.2S FS5 10 VA", "revenue metering", False),
    ],
)
def test_a_class_against_its_duty_is_noticed(
    bay: Callable[..., Any], class_text: str, duty: str, *, noticed: bool
) -> None:
    made = bay(classes={"L1-1": class_text}, more={"L1-1": {"duty_text": duty}})

    assert (made.cores_noticed("class_against_duty") == [("L1-1",)]) is noticed


def test_a_duty_that_says_both_or_nothing_is_not_judged(bay: Callable[..., Any]) -> None:
    made = bay(more={"L2-1": {"duty_text": "protection and metering"}})

    assert "not stated" in made.reason("class_against_duty")
    assert "not stated" in made.reason("class_against_duty", "L2-1")
