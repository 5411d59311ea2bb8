"""The envelope about a reference curve: on the limit is within."""

from __future__ import annotations

import pytest

from ctcore import envelope
from ctcore.errors import BadInput


@pytest.mark.parametrize(("i_measured_a", "is_within"), [(0.125, True), (0.1251, False)])
def test_the_exciting_current_may_exceed_the_reference_by_a_quarter(
    i_measured_a: float, is_within: bool
) -> None:
    assert envelope.current_within(i_measured_a, 0.1) is is_within


@pytest.mark.parametrize(("v_measured_v", "is_within"), [(95.0, True), (94.9, False)])
def test_the_voltage_may_fall_short_by_a_twentieth(v_measured_v: float, is_within: bool) -> None:
    assert envelope.voltage_within(v_measured_v, 100.0) is is_within


@pytest.mark.parametrize("function", [envelope.current_within, envelope.voltage_within])
def test_a_reference_of_zero_is_refused(function: object) -> None:
    with pytest.raises(BadInput, match="reference"):
        function(1.0, 0.0)
