"""Uncertainty budgets: lines with sensitivities and correlations, combined, expanded, shown line by line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ctcore.checks import not_negative, not_negative_scalar, positive_scalar, scalar
from ctcore.errors import BadInput

COVERAGE_FACTOR = 2.0
DISTRIBUTIONS = ("normal", "rectangular", "student")
_HALF_WIDTH = math.sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Line:
    """One input of a budget: its value, standard uncertainty and how far it moves the result.

    `u` is in the unit of the input (k = 1), `sensitivity` in unit of result per unit of input,
    `dof` the degrees of freedom, None for infinitely many.
    """

    name: str
    value: float
    u: float
    sensitivity: float = 1.0
    source: str = ""
    distribution: str = "normal"
    dof: float | None = None

    def __post_init__(self) -> None:
        scalar(f"{self.name}, value", self.value)
        not_negative(
            f"{self.name}, standard uncertainty", scalar(f"{self.name}, standard uncertainty", self.u)
        )
        scalar(f"{self.name}, sensitivity", self.sensitivity)
        if self.distribution not in DISTRIBUTIONS:
            known = ", ".join(DISTRIBUTIONS)
            raise BadInput(f"{self.name}, distribution", self.distribution, f"the distributions are {known}")
        if self.dof is not None:
            positive_scalar(f"{self.name}, degrees of freedom", self.dof)

    @property
    def contribution(self) -> float:
        """What the line adds to the result: sensitivity x u, with its sign, in the unit of the result."""
        return self.sensitivity * self.u


@dataclass(frozen=True, slots=True)
class Correlation:
    """The correlation coefficient of two lines, by their names."""

    first: str
    second: str
    coefficient: float


@dataclass(frozen=True, slots=True)
class BudgetRow:
    """A line as printed; `share_percent` is its part of the variance without correlations."""

    name: str
    value: float
    u: float
    distribution: str
    sensitivity: float
    contribution: float
    share_percent: float
    dof: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Budget:
    """The uncertainty of one result.

    Formula: u_c^2 = sum c_i^2 u_i^2 + 2 sum r_ij c_i u_i c_j u_j; U = 2 u_c;
    effective degrees of freedom u_c^4 / sum (c_i u_i)^4 / dof_i.
    Args: quantity and unit of the result, its value, the lines, the correlations between them.
    Valid while the result is nearly straight in its inputs over a few standard uncertainties.
    Raises BadInput for no line, a name that stands twice, a correlation outside -1 to 1, of an unknown line
    or
    of a line with itself, or correlations that cannot hold together.
    Source: JCGM 100:2008, 5.1.2, 5.2.2 and G.4.

    >>> budget = Budget("sum", "V", 3.0, (Line("a", 1.0, 0.3), Line("b", 2.0, 0.4)))
    >>> budget.u_combined, budget.u_expanded
    (0.5, 1.0)
    """

    quantity: str
    unit: str
    value: float
    lines: tuple[Line, ...]
    correlations: tuple[Correlation, ...] = ()

    def __post_init__(self) -> None:
        scalar(self.quantity, self.value)
        names = [line.name for line in self.lines]
        if not names:
            raise BadInput(self.quantity, "no line", "a budget has at least one line")
        if len(set(names)) != len(names):
            raise BadInput(self.quantity, ", ".join(names), "a line stands twice in the budget")
        pairs = set()
        for link in self.correlations:
            _check_link(link, names)
            pair = frozenset((link.first, link.second))
            if pair in pairs:
                raise BadInput("correlation", f"{link.first}, {link.second}", "it is stated twice")
            pairs.add(pair)
        _check_matrix(self.correlations, names)

    @property
    def u_combined(self) -> float:
        """Combined standard uncertainty (k = 1) in the unit of the result."""
        parts = {line.name: line.contribution for line in self.lines}
        variance = math.fsum(part * part for part in parts.values()) + 2.0 * math.fsum(
            link.coefficient * parts[link.first] * parts[link.second] for link in self.correlations
        )
        # Full anticorrelation leaves zero, which rounding may carry a little below.
        return math.sqrt(max(0.0, variance))

    @property
    def u_expanded(self) -> float:
        """Expanded uncertainty U with k = 2."""
        return COVERAGE_FACTOR * self.u_combined

    @property
    def dof_effective(self) -> float | None:
        """Effective degrees of freedom by Welch-Satterthwaite, None for infinitely many.

        Assumption: lines of few repeats are independent of the others, as G.4 asks.
        """
        shares = math.fsum(line.contribution**4 / line.dof for line in self.lines if line.dof is not None)
        return None if shares == 0.0 else self.u_combined**4 / shares

    def rows(self) -> tuple[BudgetRow, ...]:
        """The budget line by line, in the order given."""
        whole = math.fsum(line.contribution**2 for line in self.lines)
        return tuple(
            BudgetRow(
                line.name,
                line.value,
                line.u,
                line.distribution,
                line.sensitivity,
                line.contribution,
                0.0 if whole == 0.0 else 100.0 * line.contribution**2 / whole,
                line.dof,
                line.source,
            )
            for line in self.lines
        )


def specification(
    name: str,
    value: float,
    *,
    percent_of_reading: float = 0.0,
    floor: float = 0.0,
    sensitivity: float = 1.0,
    source: str = "specification of the instrument",
) -> Line:
    """Return the line of an instrument's limit of error, taken as rectangular.

    Formula: u = (percent/100 |value| + floor) / sqrt(3).
    Args: reading; limit of error in percent of reading and in units of the reading, each zero or more.
    Result: `Line`.
    Valid inside the range and the conditions of the specification.
    Raises BadInput for negative limits.
    Source: JCGM 100:2008, 4.3.7.

    >>> round(specification("volts", 100.0, percent_of_reading=0.1).u, 4)
    0.0577
    """
    reading = scalar(name, value)
    share = not_negative(f"{name}, percent of reading", scalar(name, percent_of_reading))
    least = not_negative(f"{name}, floor", scalar(name, floor))
    limit = float(share / 100.0 * abs(reading) + least)
    return Line(name, reading, limit / _HALF_WIDTH, sensitivity, source, "rectangular")


def resolution(
    name: str,
    value: float,
    step: float,
    *,
    sensitivity: float = 1.0,
    source: str = "last digit of the reading",
) -> Line:
    """Return the line of a display's last digit.

    Formula: u = d / (2 sqrt(3)).
    Args: reading; step of the last digit in units of the reading, zero or more.
    Result: `Line`.
    Valid for a digit that rounds.
    Raises BadInput for a negative step.
    Source: JCGM 100:2008, F.2.2.1.

    >>> round(resolution("volts", 100.0, 0.1).u, 4)
    0.0289
    """
    digit = not_negative_scalar(f"{name}, last digit", step)
    return Line(name, value, digit / (2.0 * _HALF_WIDTH), sensitivity, source, "rectangular")


def certificate(
    name: str,
    value: float,
    u_expanded: float,
    *,
    coverage_factor: float = COVERAGE_FACTOR,
    sensitivity: float = 1.0,
    source: str = "calibration certificate",
) -> Line:
    """Return the line of a certificate's expanded uncertainty.

    Formula: u = U / k.
    Args: reading; U in units of the reading, zero or more; k above zero.
    Result: `Line`.
    Valid within the calibration interval.
    Raises BadInput for a negative U or a factor of zero or less.
    Source: JCGM 100:2008, 4.3.3.

    >>> certificate("volts", 100.0, 0.02).u
    0.01
    """
    expanded = not_negative_scalar(f"{name}, expanded uncertainty", u_expanded)
    factor = positive_scalar(f"{name}, coverage factor", coverage_factor)
    return Line(name, value, expanded / factor, sensitivity, source, "normal")


def repeats(
    name: str,
    readings: Sequence[float],
    *,
    sensitivity: float = 1.0,
    source: str = "repeated readings",
) -> Line:
    """Return the line of the mean of repeated readings.

    Formula: u = s / sqrt(n), s the standard deviation with n - 1; n - 1 degrees of freedom.
    Args: at least two readings in one unit.
    Result: `Line` with the mean as its value.
    Valid for readings that do not drift.
    Raises BadInput for fewer than two readings.
    Source: JCGM 100:2008, 4.2.

    >>> repeats("volts", [1.0, 3.0]).u
    1.0
    """
    values = [scalar(name, reading) for reading in readings]
    count = len(values)
    if count < 2:
        raise BadInput(name, count, "at least two readings are needed for a spread")
    mean = math.fsum(values) / count
    spread = math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (count - 1))
    return Line(name, mean, spread / math.sqrt(count), sensitivity, source, "student", float(count - 1))


def _check_link(link: Correlation, names: Sequence[str]) -> None:
    for name in (link.first, link.second):
        if name not in names:
            raise BadInput("correlation", name, "the budget has no line of that name")
    if link.first == link.second:
        raise BadInput("correlation", link.first, "a line does not correlate with itself")
    coefficient = scalar("correlation coefficient", link.coefficient)
    if not -1.0 <= coefficient <= 1.0:
        raise BadInput("correlation coefficient", link.coefficient, "it lies between -1 and 1")


def _check_matrix(links: Sequence[Correlation], names: Sequence[str]) -> None:
    if len(links) < 2:
        return
    import numpy as np

    matrix = np.eye(len(names))
    place = {name: index for index, name in enumerate(names)}
    for link in links:
        matrix[place[link.first], place[link.second]] = link.coefficient
        matrix[place[link.second], place[link.first]] = link.coefficient
    # Printed coefficients are rounded to two digits, which may carry an eigenvalue a little below zero.
    if float(np.linalg.eigvalsh(matrix)[0]) < -0.02:
        raise BadInput("correlation", len(links), "these coefficients cannot hold together")
