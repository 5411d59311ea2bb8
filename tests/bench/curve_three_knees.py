"""One curve of fifteen readings with stated scatter: smoothed, three knees with their uncertainties."""

from __future__ import annotations

import statistics
import time
from typing import Any

import numpy as np

from ctcore.curve import DEFINITIONS
from tests.bench.curve_families import FAMILIES, volts_taken
from tests.bench.knee_study import noisy_take

NAMES = ("curve_three_knees",)

_WARM_UP = 10


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds for a curve and its three knees, each take with noise of its own."""
    runs = 100 if short else 500
    family = FAMILIES[1]
    volts = volts_taken(family, family.knees_v()["iec"])
    rng = np.random.default_rng(7)
    taken = []
    for number in range(-_WARM_UP, runs):
        started = time.perf_counter()
        curve = noisy_take(family, volts, rng)
        for definition in DEFINITIONS:
            curve.knee(definition)
        if number >= 0:
            taken.append((time.perf_counter() - started) * 1e3)
    value = statistics.median(taken)
    return [{"name": NAMES[0], "value": value, "unit": "ms", "reference": None, "ratio": None, "runs": runs}]
