"""Burden as a triangle of R, X and Z, beside what the class allows."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.judge import scene_of
from ctcore.judgement.burden import rated_burdens, triangles
from ctcore.takes import takes_of


def scene(sheet: Any) -> Any:
    return scene_of(sheet.job, sheet.place(), takes_of(sheet.readings))


def test_a_triangle_has_the_sides_of_its_reading(worksheet: Any) -> None:
    """10 V and 1 A at 36.87 degrees: 8 ohm, 6 ohm, 10 ohm, and 10 VA at 1 A (3-4-5, arithmetic)."""
    sheet = worksheet()
    sheet.key("burden", "connected", v_burden_v=10, i_burden_a=1, phase_burden_deg=36.87)

    (found,) = triangles(scene(sheet), takes_of(sheet.readings)["c1", "burden"][0])

    assert (found.row, found.z_ohm, found.output_va) == ("connected", 10.0, 10.0)
    assert (found.r_ohm, found.x_ohm) == (pytest.approx(8.0, abs=1e-4), pytest.approx(6.0, abs=1e-4))


def test_without_an_angle_there_is_no_triangle(worksheet: Any) -> None:
    sheet = worksheet()
    sheet.key("burden", "connected", v_burden_v=10, i_burden_a=1)

    assert triangles(scene(sheet), takes_of(sheet.readings)["c1", "burden"][0]) == ()


def test_the_rated_burden_is_the_rated_output_over_the_square_of_the_current(
    worksheet: Any, make_tap: Any
) -> None:
    """IEC 61869-2:2012, 5.5: 15 VA at 5 A are 0.6 ohm."""
    sheet = worksheet("5P20 15 VA", [make_tap("S1-S2", 600, 5.0)])

    (held,) = rated_burdens(scene(sheet))

    assert (held.low_ohm, held.high_ohm, held.output_va) == (None, pytest.approx(0.6), 15.0)


def test_a_measuring_class_has_a_least_burden_too(worksheet: Any) -> None:
    """IEC 61869-2:2012, 5.6.201: from a quarter of the rated output; 15 VA at 1 A are 15 ohm."""
    (held,) = rated_burdens(scene(worksheet("0.5 15 VA")))

    assert (held.low_ohm, held.high_ohm) == (3.75, 15.0)


def test_a_class_without_a_burden_has_no_arc(worksheet: Any) -> None:
    assert rated_burdens(scene(worksheet("PX Ek 250 V Ie 30 mA Rct 3 ohm"))) == ()
