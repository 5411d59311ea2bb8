"""What the invented cores would show: a small model per effect, and the last digit of the instrument."""

from __future__ import annotations

import cmath
import math
import random
from dataclasses import dataclass
from decimal import Decimal

from ctcore.temperature import resistance_ohm


@dataclass(frozen=True, slots=True)
class Steel:
    """An excitation curve of two powers: the part that magnetises, and the part that saturates.

    I = i_knee_a ((1 - share) (V/v_knee)^slope + share (V/v_knee)^steep); `share` follows from the definition
    of the knee, 10 % more voltage and 50 % more current.
    """

    v_knee_v: float
    i_knee_a: float
    slope: float
    steep: float

    def current_a(self, voltage_v: float) -> float:
        """Exciting current, r.m.s."""
        level = voltage_v / self.v_knee_v
        low, high = 1.1**self.slope, 1.1**self.steep
        share = (1.5 - low) / (high - low)
        return self.i_knee_a * ((1.0 - share) * level**self.slope + share * level**self.steep)


@dataclass(slots=True)
class Meter:
    """An instrument: its scatter from reading to reading and the digits it shows."""

    scatter_rel: float
    digits: int
    chance: random.Random

    def shows(self, value: float) -> str:
        """The text on the display."""
        return digits_text(value * (1.0 + self.chance.gauss(0.0, self.scatter_rel)), self.digits)


def digits_text(value: float, digits: int) -> str:
    """A value rounded to so many digits, without exponent.

    >>> digits_text(0.0123456, 3), digits_text(1234.5, 3), digits_text(2.0, 3)
    ('0.0123', '1230', '2.00')
    """
    if value == 0.0:
        return "0"
    last = math.floor(math.log10(abs(value))) - digits + 1
    return format(Decimal(round(value / 10.0**last)).scaleb(last), "f")


def copper_ohm(r_75degc_ohm: float, t_degc: float) -> float:
    """A copper winding's resistance at another temperature than 75 °C."""
    return float(resistance_ohm(r_75degc_ohm, 75.0, t_degc))


def errors(
    steel: Steel,
    *,
    turns_count: float,
    turns_whole_count: float,
    k_rated_ratio: float,
    i_secondary_a: float,
    z_loop_ohm: complex,
) -> tuple[float, float]:
    """Ratio error in percent and phase displacement in minutes of a winding with one primary turn.

    `steel` is the curve of the whole winding; on part of it volts go with turns, amperes against them.

    The exciting current lags the e.m.f. by 45 degrees: as much loss as magnetising.
    """
    emf = i_secondary_a * z_loop_ohm
    whole_to_part = turns_whole_count / turns_count
    exciting_a = steel.current_a(abs(emf) * whole_to_part) * whole_to_part
    exciting = cmath.rect(exciting_a, cmath.phase(emf) - math.pi / 4)
    primary = turns_count * (i_secondary_a + exciting)
    ratio_error = 100.0 * (k_rated_ratio * i_secondary_a - abs(primary)) / abs(primary)
    return ratio_error, -math.degrees(cmath.phase(primary)) * 60.0
