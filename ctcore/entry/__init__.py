"""Typed readings: text becomes a number here and nowhere else."""

from __future__ import annotations

from ctcore.entry.grammar import Entry, parse
from ctcore.entry.refusals import TwoReadings
from ctcore.entry.units import COLUMNS, base_unit

__all__ = ["COLUMNS", "Entry", "TwoReadings", "base_unit", "parse"]
