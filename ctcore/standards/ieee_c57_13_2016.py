"""IEEE C57.13-2016, instrument transformers: one row per accuracy class, burden and multi-ratio winding."""

from __future__ import annotations

from ctcore.standards.rows import (
    FROM_MEMORY,
    SEEN,
    BurdenRow,
    CorrectionLimit,
    EnvelopeRow,
    MeteringRow,
    MultiRatioRow,
    RelayRow,
)

STANDARD = "IEEE C57.13"
EDITION = "IEEE C57.13-2016"

_METERING = f"{EDITION}, accuracy classes for metering, TCF limits of current transformers"
_RELAYING = f"{EDITION}, accuracy classes for relaying"
_BURDENS = f"{EDITION}, standard burdens for current transformers, 5 A and 60 Hz"
_SECTIONS = f"{EDITION}, Table 8, ratings of multi-ratio current transformers"


def _tcf(*rows: tuple[float, float, float]) -> tuple[CorrectionLimit, ...]:
    return tuple(CorrectionLimit(*row) for row in rows)


METERING = (
    MeteringRow("0.3", _tcf((10, 0.994, 1.006), (100, 0.997, 1.003)), _METERING, SEEN),
    MeteringRow("0.6", _tcf((10, 0.988, 1.012), (100, 0.994, 1.006)), _METERING, SEEN),
    MeteringRow("1.2", _tcf((10, 0.976, 1.024), (100, 0.988, 1.012)), _METERING, SEEN),
)

RELAY = (
    RelayRow("C", "c", 20.0, 10.0, None, _RELAYING, SEEN, 3.0),
    RelayRow("T", "t", 20.0, 10.0, None, _RELAYING, FROM_MEMORY, 3.0),
    RelayRow("K", "k", 20.0, 10.0, 70.0, _RELAYING, FROM_MEMORY, 3.0),
    RelayRow("X", "x", None, None, None, _RELAYING, FROM_MEMORY),
)

# Name, resistance in ohm, inductance in H, impedance in ohm, power factor.
BURDENS = (
    BurdenRow("B-0.1", 0.09, 0.116e-3, 0.1, 0.9, _BURDENS, FROM_MEMORY),
    BurdenRow("B-0.2", 0.18, 0.232e-3, 0.2, 0.9, _BURDENS, FROM_MEMORY),
    BurdenRow("B-0.5", 0.45, 0.580e-3, 0.5, 0.9, _BURDENS, FROM_MEMORY),
    BurdenRow("B-0.9", 0.81, 1.04e-3, 0.9, 0.9, _BURDENS, FROM_MEMORY),
    BurdenRow("B-1.8", 1.62, 2.08e-3, 1.8, 0.9, _BURDENS, FROM_MEMORY),
    BurdenRow("B-1", 0.50, 2.30e-3, 1.0, 0.5, _BURDENS, FROM_MEMORY),
    BurdenRow("B-2", 1.00, 4.60e-3, 2.0, 0.5, _BURDENS, FROM_MEMORY),
    BurdenRow("B-4", 2.00, 9.20e-3, 4.0, 0.5, _BURDENS, FROM_MEMORY),
    BurdenRow("B-8", 4.00, 18.4e-3, 8.0, 0.5, _BURDENS, FROM_MEMORY),
    BurdenRow("E-0.04", 0.04, 0.0, 0.04, 1.0, _BURDENS, FROM_MEMORY),
    BurdenRow("E-0.2", 0.20, 0.0, 0.2, 1.0, _BURDENS, FROM_MEMORY),
)

# The voltage rating at 5 A and the burden it is proved with.
RELAY_BURDENS = (
    (10.0, "B-0.1"),
    (20.0, "B-0.2"),
    (50.0, "B-0.5"),
    (100.0, "B-1"),
    (200.0, "B-2"),
    (400.0, "B-4"),
    (800.0, "B-8"),
)

MULTI_RATIO = (
    MultiRatioRow("600:5", 600, 5, (20, 10, 50, 40), _SECTIONS, SEEN),
    MultiRatioRow("1200:5", 1200, 5, (40, 20, 100, 80), _SECTIONS, SEEN),
    MultiRatioRow("2000:5", 2000, 5, (80, 160, 60, 100), _SECTIONS, SEEN),
    MultiRatioRow("3000:5", 3000, 5, (200, 240, 60, 100), _SECTIONS, SEEN),
    MultiRatioRow("4000:5", 4000, 5, (100, 300, 200, 200), _SECTIONS, SEEN),
    MultiRatioRow("5000:5", 5000, 5, (300, 100, 400, 200), _SECTIONS, SEEN),
)

ENVELOPE = EnvelopeRow(
    125.0, 95.0, f"{EDITION}, deviation of excitation current from the typical curve", FROM_MEMORY
)
