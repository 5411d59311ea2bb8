"""What the axes of a plot count in, without any Qt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.ui.plots import logscale
from app.words import figures


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """What an axis counts in, when it goes over to a larger unit, and whether its decades are equal."""

    unit: str
    words: str
    larger_unit: str = ""
    larger_from: float = math.inf
    is_log: bool = True

    def position(self, value: float) -> float:
        """The position of a value; above zero where decades are equal."""
        return logscale.position(value) if self.is_log else value

    def positions(self, values: Sequence[float]) -> logscale.Floats:
        """The positions of many values."""
        return logscale.positions(values) if self.is_log else np.asarray(values, dtype=float)

    def value(self, at: float) -> float:
        """The value at a position."""
        return logscale.value(at) if self.is_log else at

    def figure(self, base_value: float) -> str:
        """A figure of the axis; the larger unit, where it begins, is written out."""
        if base_value >= self.larger_from * (1.0 - 1e-9):
            return f"{figures.trimmed(base_value, self.larger_unit, significant=3)} {self.larger_unit}"
        if base_value == 0.0:
            return "0"
        return figures.trimmed(base_value, self.unit, significant=3)


VOLTS = Axis(unit="V", words="V", larger_unit="kV", larger_from=1e3)
AMPERES = Axis(unit="mA", words="mA", larger_unit="A", larger_from=1.0)
VOLTS_PER_TURN = Axis(unit="mV", words="mV per turn", larger_unit="V", larger_from=1.0)
AMPERE_TURNS = Axis(unit="A", words="A turns", larger_unit="kA", larger_from=1e3)
