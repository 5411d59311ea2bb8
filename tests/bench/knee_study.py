"""Monte Carlo study of the knees: bias, scatter, and how often the stated interval holds the truth.

`python -m tests.bench.knee_study [CURVES]` prints one line for each family and knee; 1 000 curves by default.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass

import numpy as np

from ctcore.curve import DEFINITIONS, Curve, NoKnee, mark_reversed
from tests.bench.curve_families import FAMILIES, Family, volts_taken

U_VOLTAGE_REL, U_CURRENT_REL = 0.002, 0.005


@dataclass(frozen=True, slots=True)
class Outcome:
    """What many noisy takes of one family gave for one knee; all in percent but the counts."""

    family: str
    definition: str
    bias_percent: float
    rms_percent: float
    held_percent: float
    u_over_rms: float
    found_count: int
    held_count: int
    refused_count: int


def study(family: Family, *, curve_count: int, seed: int, readings_count: int = 15) -> list[Outcome]:
    """Outcome of each knee over seeded noisy takes of one family."""
    truth = family.knees_v()
    rng = np.random.default_rng(seed)
    volts = volts_taken(family, truth["iec"], readings_count)
    found: dict[str, list[tuple[float, float]]] = {definition: [] for definition in DEFINITIONS}
    for _ in range(curve_count):
        curve = noisy_take(family, volts, rng)
        for definition in DEFINITIONS:
            try:
                knee = curve.knee(definition)
            except NoKnee:
                continue
            assert knee.u_voltage_v is not None
            error = knee.voltage_v / truth[definition] - 1.0
            found[definition].append((error, knee.u_voltage_v / knee.voltage_v))
    return [_outcome(family.name, definition, pairs, curve_count) for definition, pairs in found.items()]


def noisy_take(family: Family, volts: np.ndarray, rng: np.random.Generator) -> Curve:
    """One take with the scatter of both meters, readings that fell beyond it left out."""
    voltage = volts * (1.0 + U_VOLTAGE_REL * rng.standard_normal(volts.size))
    current = family.law(volts) * (1.0 + U_CURRENT_REL * rng.standard_normal(volts.size))
    kept = ~np.array(mark_reversed(voltage, U_VOLTAGE_REL))
    return Curve(voltage[kept], current[kept], u_voltage_rel=U_VOLTAGE_REL, u_current_rel=U_CURRENT_REL)


def _outcome(name: str, definition: str, pairs: list[tuple[float, float]], curve_count: int) -> Outcome:
    if not pairs:
        return Outcome(name, definition, 0.0, 0.0, 100.0, 1.0, 0, 0, curve_count)
    error, u = np.array(pairs).T
    rms = float(np.sqrt(np.mean(error**2)))
    held = np.abs(error) <= 2.0 * u
    return Outcome(
        name,
        definition,
        100.0 * float(error.mean()),
        100.0 * rms,
        100.0 * float(held.mean()),
        float(np.median(u)) / rms,
        error.size,
        int(held.sum()),
        curve_count - error.size,
    )


def main() -> int:
    curve_count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    outcomes = [
        outcome for family in FAMILIES for outcome in study(family, curve_count=curve_count, seed=2031)
    ]
    print(f"{'family':24} {'knee':10} {'bias %':>7} {'rms %':>6} {'k=2 %':>6} {'u/rms':>6} {'none':>5}")
    for o in outcomes:
        print(
            f"{o.family:24} {o.definition:10} {o.bias_percent:7.2f} {o.rms_percent:6.2f} "
            f"{o.held_percent:6.1f} {o.u_over_rms:6.2f} {o.refused_count:5d}"
        )
    for definition in DEFINITIONS:
        mine = [o for o in outcomes if o.definition == definition]
        share = sum(o.held_count for o in mine) / max(sum(o.found_count for o in mine), 1)
        print(f"all families {definition:10} k=2 holds {100.0 * share:.1f} %")
    return 0


if __name__ == "__main__":
    sys.exit(main())
