"""The class tables as plain text, for an engineer to read against the printed standards.

`python -m ctcore.standards.proof` prints them.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable

from ctcore.standards import iec_61869_2_2012 as iec
from ctcore.standards import ieee_c57_13_6_2010 as ieee_high
from ctcore.standards import ieee_c57_13_2016 as ieee
from ctcore.standards.rows import FROM_MEMORY, MeasuringRow, MeteringRow, ProtectionRow, RelayRow

CHECK = "check against the standard"


def proof_sheet() -> str:
    """Return every row of every edition as lines of text, each with its source and how it was known.

    Formula: none, a listing.
    Result: text; a row from memory carries the words "check against the standard".
    Valid for the rows held here.
    Source: stands in each line.

    >>> proof_sheet().splitlines()[1][:33]
    '0.1: 5 % 0.4 %/15 min, 20 % 0.2 %'
    """
    blocks = (
        (f"{iec.EDITION}, measuring", map(_measuring, iec.MEASURING)),
        (f"{iec.EDITION}, protection", map(_protection, iec.PROTECTION)),
        (f"{ieee_high.EDITION}, metering", map(_metering, ieee_high.METERING)),
        (f"{ieee.EDITION}, metering", map(_metering, ieee.METERING)),
        (f"{ieee.EDITION}, relaying", map(_relay, ieee.RELAY)),
        (f"{ieee.EDITION}, burdens at 5 A and 60 Hz", _burdens()),
        (f"{ieee.EDITION}, multi-ratio windings", _multi_ratio()),
        (f"{ieee.EDITION}, reference curve", _envelope()),
    )
    return "\n".join(line for title, rows in blocks for line in _block(title, rows))


def _block(title: str, rows: Iterable[tuple[str, str, str]]) -> Iterable[str]:
    yield title
    for text, source, tag in rows:
        yield text
        yield f"    {source} ({tag}{', ' + CHECK if tag == FROM_MEMORY else ''})"


def _measuring(row: MeasuringRow) -> tuple[str, str, str]:
    cells = ", ".join(
        f"{limit.percent_current:g} % {limit.ratio_error_percent:g} %"
        + ("" if limit.phase_displacement_arcmin is None else f"/{limit.phase_displacement_arcmin:g} min")
        for limit in row.limits
    )
    floor = "" if row.burden_low_va is None else f", at least {row.burden_low_va:g} VA"
    burden = f"burden {row.burden_low_percent:g}-{row.burden_high_percent:g} %{floor}"
    return f"{row.designation}: {cells}; {burden}", row.source, row.tag


def _protection(row: ProtectionRow) -> tuple[str, str, str]:
    centre = f" about {row.phase_centre_arcmin:g}" if row.phase_centre_arcmin else ""
    parts = (
        ("ratio error", row.ratio_error_percent, " %"),
        ("phase", row.phase_displacement_arcmin, f" min{centre}"),
        ("composite error", row.composite_error_percent, f" % ({row.composite_error_tag})"),
        ("turns ratio error", row.turns_ratio_error_percent, " %"),
        ("remanence", row.remanence_percent, " %"),
        ("peak error", row.peak_error_percent, " %"),
    )
    told = ", ".join(f"{name} {value:g}{unit}" for name, value, unit in parts if value is not None)
    return f"{row.designation}: {told}", row.source, row.tag


def _metering(row: MeteringRow) -> tuple[str, str, str]:
    cells = ", ".join(
        f"{limit.percent_current:g} % {limit.factor_low:.4f}-{limit.factor_high:.4f}" for limit in row.limits
    )
    return f"{row.designation}: RCF and TCF at {cells}", row.source, row.tag


def _relay(row: RelayRow) -> tuple[str, str, str]:
    parts = (
        ("proved at", row.limit_factor, " x rated secondary current"),
        ("exciting current at most", row.excitation_percent, " % of that"),
        ("45 degree knee at least", row.knee_percent, " % of the rating"),
        ("ratio error at rated current", row.ratio_error_percent, f" % ({row.ratio_error_tag})"),
    )
    told = ", ".join(f"{name} {value:g}{unit}" for name, value, unit in parts if value is not None)
    return f"{row.designation}: {told or 'as the user states'}", row.source, row.tag


def _burdens() -> Iterable[tuple[str, str, str]]:
    for row in ieee.BURDENS:
        size = f"{row.r_ohm:g} ohm and {row.l_h * 1000.0:g} mH, {row.z_ohm:g} ohm at power factor"
        yield f"{row.name}: {size} {row.power_factor:g}", row.source, row.tag


def _multi_ratio() -> Iterable[tuple[str, str, str]]:
    for row in ieee.MULTI_RATIO:
        turns = "/".join(f"{turns:g}" for turns in row.section_turns_count)
        yield f"{row.designation}: {turns} turns from X1 to X5", row.source, row.tag


def _envelope() -> Iterable[tuple[str, str, str]]:
    row = ieee.ENVELOPE
    below = f"current at most {row.current_percent_below_knee:g} % below the knee"
    above = f"voltage at least {row.voltage_percent_above_knee:g} % above it"
    yield f"{below}, {above}", row.source, row.tag


if __name__ == "__main__":
    sys.stdout.write(proof_sheet() + "\n")
