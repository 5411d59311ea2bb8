"""A curve ln I over ln V as pieces of third degree, and the straight way to make one through readings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ctcore.curve.readings import Floats, Readings


@dataclass(frozen=True, slots=True)
class LogCurve:
    """ln I over ln V, given by node, value and slope; between nodes of third degree, slope continuous.

    >>> line = LogCurve(np.array([0.0, 1.0]), np.array([0.0, 2.0]), np.array([2.0, 2.0]))
    >>> float(line.ln_current(np.array([0.5]))[0]), float(line.slope(np.array([0.5]))[0])
    (1.0, 2.0)
    """

    ln_voltage: Floats
    ln_current_node: Floats
    slope_node: Floats

    @property
    def first(self) -> float:
        """ln V of the first node."""
        return float(self.ln_voltage[0])

    @property
    def last(self) -> float:
        """ln V of the last node."""
        return float(self.ln_voltage[-1])

    def ln_current(self, x: Floats) -> Floats:
        """ln I at ln V = x; x lies between the first and the last node."""
        piece, z, step = self._place(x)
        y0, y1 = self.ln_current_node[piece], self.ln_current_node[piece + 1]
        m0, m1 = self.slope_node[piece] * step, self.slope_node[piece + 1] * step
        rise = y1 - y0
        value: Floats = y0 + z * (m0 + z * (3.0 * rise - 2.0 * m0 - m1 + z * (m0 + m1 - 2.0 * rise)))
        return value

    def ln_current_at(self, x: float) -> float:
        """As `ln_current` for one place, without the cost of an array.

        >>> LogCurve(np.array([0.0, 1.0]), np.array([0.0, 2.0]), np.array([2.0, 2.0])).ln_current_at(0.5)
        1.0
        """
        right = int(np.searchsorted(self.ln_voltage, x, side="right"))
        piece = min(max(right - 1, 0), self.ln_voltage.size - 2)
        start, end = self.ln_voltage[piece : piece + 2].tolist()
        y0, y1 = self.ln_current_node[piece : piece + 2].tolist()
        m0, m1 = self.slope_node[piece : piece + 2].tolist()
        step, rise = end - start, y1 - y0
        z, m0, m1 = (x - start) / step, m0 * step, m1 * step
        return float(y0 + z * (m0 + z * (3.0 * rise - 2.0 * m0 - m1 + z * (m0 + m1 - 2.0 * rise))))

    def slope(self, x: Floats) -> Floats:
        """Slope d ln I / d ln V at ln V = x."""
        piece, z, step = self._place(x)
        m0, m1 = self.slope_node[piece], self.slope_node[piece + 1]
        chord = (self.ln_current_node[piece + 1] - self.ln_current_node[piece]) / step
        value: Floats = m0 + z * (6.0 * chord - 4.0 * m0 - 2.0 * m1 + 3.0 * z * (m0 + m1 - 2.0 * chord))
        return value

    def _place(self, x: Floats) -> tuple[NDArray[np.intp], Floats, Floats]:
        piece = np.clip(np.searchsorted(self.ln_voltage, x, side="right") - 1, 0, self.ln_voltage.size - 2)
        step = self.ln_voltage[piece + 1] - self.ln_voltage[piece]
        return piece, (x - self.ln_voltage[piece]) / step, step


def through(readings: Readings) -> LogCurve:
    """Return the shape-preserving curve through all readings.

    Formula: at each reading the mean of two slopes of ln I over ln V: that of the cubic spline, exact on
    smooth curves, and that of the monotone rule of Fritsch and Butland, steady at sharp bends; the second
    alone where the mean would turn back between readings that do not.

    Source: Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300 (from memory).

    >>> curve = through(Readings((1.0, 2.0, 4.0), (1.0, 4.0, 16.0), (1, 1, 1)))
    >>> np.round(curve.slope_node, 6).tolist()
    [2.0, 2.0, 2.0]
    """
    x = np.log(np.array(readings.voltage_v))
    y = np.log(np.array(readings.current_a))
    monotone = _monotone_slopes(x, y)
    mean = LogCurve(x, y, (_spline_slopes(x, y) + monotone) / 2.0)
    return mean if _keeps_shape(mean) else LogCurve(x, y, monotone)


def _spline_slopes(x: Floats, y: Floats) -> Floats:
    """Slopes that make the second derivative continuous, the third too at the first and last inner node."""
    h = np.diff(x)
    chord = np.diff(y) / h
    n = x.size
    if n == 3:
        bend = (chord[1] - chord[0]) / (h[0] + h[1])
        return np.array([chord[0] - bend * h[0], chord[0] + bend * h[0], chord[1] + bend * h[1]])
    # Three diagonals; row 0 and row n-1 are the condition on the third derivative.
    lower, middle, upper, right = np.zeros(n), np.zeros(n), np.zeros(n), np.zeros(n)
    middle[1:-1] = 2.0 * (h[:-1] + h[1:])
    upper[1:-1], lower[1:-1] = h[:-1], h[1:]
    right[1:-1] = 3.0 * (h[1:] * chord[:-1] + h[:-1] * chord[1:])
    middle[0], upper[0] = h[1], h[0] + h[1]
    right[0] = ((h[0] + 2.0 * upper[0]) * h[1] * chord[0] + h[0] ** 2 * chord[1]) / upper[0]
    middle[-1], lower[-1] = h[-2], h[-1] + h[-2]
    right[-1] = (h[-1] ** 2 * chord[-2] + (2.0 * lower[-1] + h[-1]) * h[-2] * chord[-1]) / lower[-1]
    for row in range(1, n):
        factor = lower[row] / middle[row - 1]
        middle[row] -= factor * upper[row - 1]
        right[row] -= factor * right[row - 1]
    slope = np.zeros(n)
    slope[-1] = right[-1] / middle[-1]
    for row in range(n - 2, -1, -1):
        slope[row] = (right[row] - upper[row] * slope[row + 1]) / middle[row]
    return slope


def _keeps_shape(curve: LogCurve) -> bool:
    """Tell whether every piece rises where its readings rise and falls where they fall."""
    y, m, h = curve.ln_current_node, curve.slope_node, np.diff(curve.ln_voltage)
    rise = np.diff(y)
    z = np.linspace(0.0, 1.0, 21)[:, None]
    chord = rise / h
    square = m[:-1] + m[1:] - 2.0 * chord
    slopes = m[:-1] + z * (6.0 * chord - 4.0 * m[:-1] - 2.0 * m[1:] + 3.0 * z * square)
    return bool(np.all(slopes * np.sign(rise) > 0.0))


def _monotone_slopes(x: Floats, y: Floats) -> Floats:
    """Slopes that never overshoot: zero at a turn, else the weighted harmonic mean of the neighbours."""
    h = np.diff(x)
    chord = np.diff(y) / h
    slope = np.zeros(x.size)
    before, after = chord[:-1], chord[1:]
    same = before * after > 0.0
    w1, w2 = 2.0 * h[1:] + h[:-1], h[1:] + 2.0 * h[:-1]
    safe_before, safe_after = np.where(same, before, 1.0), np.where(same, after, 1.0)
    slope[1:-1] = np.where(same, (w1 + w2) / (w1 / safe_before + w2 / safe_after), 0.0)
    slope[0] = _end_slope(float(h[0]), float(h[1]), float(chord[0]), float(chord[1]))
    slope[-1] = _end_slope(float(h[-1]), float(h[-2]), float(chord[-1]), float(chord[-2]))
    return slope


def _end_slope(h0: float, h1: float, chord0: float, chord1: float) -> float:
    """Slope at an end from the parabola through three points, held to the sign and three times the chord."""
    slope = ((2.0 * h0 + h1) * chord0 - h0 * chord1) / (h0 + h1)
    if slope * chord0 <= 0.0:
        return 0.0
    if chord0 * chord1 <= 0.0 and abs(slope) > 3.0 * abs(chord0):
        return 3.0 * chord0
    return slope
