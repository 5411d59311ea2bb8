"""Accuracy classes, burdens and multi-ratio windings, one file per edition, all rows in plain sight here."""

from __future__ import annotations

from types import ModuleType

from ctcore.standards import iec_61869_2_2012, ieee_c57_13_6_2010, ieee_c57_13_2016
from ctcore.standards.lookup import (
    BurdenRange,
    CorrectionAt,
    ErrorAt,
    StandardBurden,
    burden_range,
    correction_limits_at,
    error_limits_at,
    multi_ratio,
    power_factor_of_test,
    relay_burden,
    row,
    standard_burden,
)
from ctcore.standards.rows import Row

EDITIONS: tuple[ModuleType, ...] = (iec_61869_2_2012, ieee_c57_13_2016, ieee_c57_13_6_2010)

CLASSES: tuple[Row, ...] = (
    *iec_61869_2_2012.MEASURING,
    *iec_61869_2_2012.PROTECTION,
    *ieee_c57_13_2016.METERING,
    *ieee_c57_13_2016.RELAY,
    *ieee_c57_13_6_2010.METERING,
)

__all__ = [
    "CLASSES",
    "EDITIONS",
    "BurdenRange",
    "CorrectionAt",
    "ErrorAt",
    "StandardBurden",
    "burden_range",
    "correction_limits_at",
    "error_limits_at",
    "multi_ratio",
    "power_factor_of_test",
    "relay_burden",
    "row",
    "standard_burden",
]
