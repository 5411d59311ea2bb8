"""IEC 61869-2:2012, current transformers: one row per accuracy class."""

from __future__ import annotations

from ctcore.standards.rows import (
    FROM_MEMORY,
    SEEN,
    ErrorLimit,
    MeasuringRow,
    ProtectionRow,
    StandardValues,
)

STANDARD = "IEC 61869-2"
EDITION = "IEC 61869-2:2012"

_TABLE_201 = f"{EDITION}, Table 201"
_TABLE_202 = f"{EDITION}, Table 202"
_TABLE_203 = f"{EDITION}, Table 203"
_TABLE_205 = f"{EDITION}, Table 205"
_TABLE_206 = f"{EDITION}, Table 206"


def _limits(*rows: tuple[float, float, float | None]) -> tuple[ErrorLimit, ...]:
    return tuple(ErrorLimit(*row) for row in rows)


_25_TO_100 = (25, 100, 1.0)
_50_TO_100 = (50, 100, None)

MEASURING = (
    MeasuringRow(
        "0.1",
        _limits((5, 0.4, 15), (20, 0.2, 8), (100, 0.1, 5), (120, 0.1, 5)),
        *_25_TO_100,
        _TABLE_201,
        SEEN,
    ),
    MeasuringRow(
        "0.2",
        _limits((5, 0.75, 30), (20, 0.35, 15), (100, 0.2, 10), (120, 0.2, 10)),
        *_25_TO_100,
        _TABLE_201,
        SEEN,
    ),
    MeasuringRow(
        "0.5",
        _limits((5, 1.5, 90), (20, 0.75, 45), (100, 0.5, 30), (120, 0.5, 30)),
        *_25_TO_100,
        _TABLE_201,
        SEEN,
    ),
    MeasuringRow(
        "1",
        _limits((5, 3.0, 180), (20, 1.5, 90), (100, 1.0, 60), (120, 1.0, 60)),
        *_25_TO_100,
        _TABLE_201,
        SEEN,
    ),
    MeasuringRow(
        "0.2S",
        _limits((1, 0.75, 30), (5, 0.35, 15), (20, 0.2, 10), (100, 0.2, 10), (120, 0.2, 10)),
        *_25_TO_100,
        _TABLE_202,
        SEEN,
        "measuring_s",
    ),
    MeasuringRow(
        "0.5S",
        _limits((1, 1.5, 90), (5, 0.75, 45), (20, 0.5, 30), (100, 0.5, 30), (120, 0.5, 30)),
        *_25_TO_100,
        _TABLE_202,
        SEEN,
        "measuring_s",
    ),
    MeasuringRow(
        "3",
        _limits((50, 3.0, None), (120, 3.0, None)),
        *_50_TO_100,
        _TABLE_203,
        SEEN,
    ),
    MeasuringRow(
        "5",
        _limits((50, 5.0, None), (120, 5.0, None)),
        *_50_TO_100,
        _TABLE_203,
        SEEN,
    ),
)

# The columns after the family: ratio error, phase, centre of phase, composite error, turns ratio error,
# remanence, peak instantaneous error; after the source the tag of the row and that of the composite error.
PROTECTION = (
    ProtectionRow("5P", "protection", 1.0, 60, 0, 5.0, None, None, None, _TABLE_205, FROM_MEMORY, SEEN),
    ProtectionRow("10P", "protection", 3.0, None, 0, 10.0, None, None, None, _TABLE_205, FROM_MEMORY, SEEN),
    ProtectionRow("5PR", "protection_pr", 1.0, 60, 0, 5.0, None, 10.0, None, _TABLE_205, FROM_MEMORY, SEEN),
    ProtectionRow(
        "10PR", "protection_pr", 3.0, None, 0, 10.0, None, 10.0, None, _TABLE_205, FROM_MEMORY, SEEN
    ),
    ProtectionRow("PX", "px", None, None, 0, None, 0.25, None, None, f"{EDITION}, 5.6.202.4", FROM_MEMORY),
    ProtectionRow("PXR", "pxr", None, None, 0, None, 1.0, 10.0, None, f"{EDITION}, 5.6.202.4", FROM_MEMORY),
    ProtectionRow("TPX", "tp", 0.5, 30, 0, None, None, None, 10.0, _TABLE_206, FROM_MEMORY),
    ProtectionRow("TPY", "tp", 1.0, 60, 0, None, None, 10.0, 10.0, _TABLE_206, FROM_MEMORY),
    ProtectionRow("TPZ", "tp", 1.0, 18, 180, None, None, 10.0, 10.0, _TABLE_206, FROM_MEMORY),
)

STANDARD_VALUES = (
    StandardValues("accuracy limit factor", "", (5, 10, 15, 20, 30), f"{EDITION}, 5.6.202.2", SEEN),
    StandardValues("instrument security factor", "", (5, 10), f"{EDITION}, 5.6.201", FROM_MEMORY),
    StandardValues("rated output", "VA", (2.5, 5, 10, 15, 30), f"{EDITION}, 5.5", SEEN),
    StandardValues("rated secondary current", "A", (1, 5), f"{EDITION}, 5.202", SEEN),
)

POWER_FACTOR_RATED = 0.8
UNITY_BELOW_VA = 5.0
