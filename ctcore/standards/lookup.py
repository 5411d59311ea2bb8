"""Looking limits, burdens and sections up in the rows of the editions."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ctcore.checks import not_negative, positive_scalar, scalar
from ctcore.errors import BadInput
from ctcore.standards import iec_61869_2_2012 as iec
from ctcore.standards import ieee_c57_13_6_2010 as ieee_high
from ctcore.standards import ieee_c57_13_2016 as ieee
from ctcore.standards.rows import FROM_MEMORY, SEEN, MeasuringRow, MeteringRow, MultiRatioRow, Row

_ROWS: dict[str, Row] = {
    row.designation: row
    for group in (iec.MEASURING, iec.PROTECTION, ieee.METERING, ieee.RELAY, ieee_high.METERING)
    for row in group
}


@dataclass(frozen=True, slots=True)
class ErrorAt:
    """Ratio and phase limit at one current; `tabulated` is False for a neighbour's limit."""

    ratio_error_percent: float
    phase_displacement_arcmin: float | None
    tabulated: bool
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class CorrectionAt:
    """Limits of RCF and TCF at one current; `tabulated` is False for a neighbour's limit."""

    factor_low: float
    factor_high: float
    tabulated: bool
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class BurdenRange:
    """The range of burden in which a class holds, in VA at rated secondary current."""

    low_va: float
    high_va: float
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class StandardBurden:
    """A named burden at the frequency and rated secondary current asked for."""

    name: str
    z_ohm: complex
    l_h: float
    output_va: float
    power_factor: float
    source: str
    tag: str


def row(designation: str) -> Row:
    """Return the row of an accuracy class by its bare designation, such as "0.5S", "5P" or "C".

    Formula: none, a look-up.
    Args: designation without limit factor, output or voltage.
    Result: the row of the edition that defines the class.
    Valid for the classes of IEC 61869-2, IEEE C57.13 and C57.13.6.
    Raises BadInput when no row bears that name.
    Source: stands in each row.

    >>> row("5P").composite_error_percent
    5.0
    """
    found = _ROWS.get(designation)
    if found is None:
        raise BadInput("accuracy class", designation, "no edition held here has a class of that name")
    return found


def error_limits_at(
    designation: str, percent_current: float, *, extended_percent: float | None = None
) -> ErrorAt | None:
    """Return the IEC ratio and phase limits of a measuring class at a percentage of rated primary current.

    Formula: the tabulated limit; between two tabulated currents the looser neighbour, marked not tabulated;
    with extended current the 120 % limit holds up to that current.
    Args: designation such as "0.5"; percent_current above zero; extended_percent of 120 or more, or None.
    Result: `ErrorAt`, or None below the lowest and above the highest current, where the class has no limit.
    Valid for 0.1 to 5, 0.2S and 0.5S.
    Raises BadInput for another class, a current of zero or less, an extended current below 120 %.
    Source: IEC 61869-2:2012, Tables 201 to 203, and 5.6.201 for extended current.

    >>> error_limits_at("0.5", 5).ratio_error_percent
    1.5
    >>> error_limits_at("0.5", 10).tabulated
    False
    """
    found = row(designation)
    if not isinstance(found, MeasuringRow):
        raise BadInput("accuracy class", designation, "this class has no table of errors by current")
    percent = positive_scalar("percent of rated current", percent_current)
    highest = found.limits[-1]
    top = highest.percent_current if extended_percent is None else _extended(extended_percent)
    if percent < found.limits[0].percent_current or percent > top:
        return None
    below = [limit for limit in found.limits if limit.percent_current <= percent][-1]
    above = next((limit for limit in found.limits if limit.percent_current >= percent), highest)
    tabulated = percent in (below.percent_current, above.percent_current, top)
    phase = (
        None
        if below.phase_displacement_arcmin is None or above.phase_displacement_arcmin is None
        else max(below.phase_displacement_arcmin, above.phase_displacement_arcmin)
    )
    ratio = max(below.ratio_error_percent, above.ratio_error_percent)
    return ErrorAt(ratio, phase, tabulated, found.source, found.tag)


def correction_limits_at(
    designation: str, percent_current: float, *, rating_factor: float = 1.0
) -> CorrectionAt | None:
    """Return the IEEE limits of RCF and TCF at a percentage of rated primary current.

    Formula: the tabulated limit; between the two tabulated currents the looser of both, marked not tabulated;
    the 100 % limit holds up to the rating factor.
    Args: designation such as "0.3"; percent_current above zero; rating_factor of 1 or more.
    Result: `CorrectionAt`, or None below the lowest current and above the rating factor.
    Valid for 0.15S, 0.15, 0.3, 0.6 and 1.2.
    Raises BadInput for another class, a current of zero or less, a rating factor below 1.
    Source: IEEE C57.13-2016 and C57.13.6; that the 100 % limit reaches to the rating factor is from memory.

    >>> correction_limits_at("0.3", 100).factor_high
    1.003
    """
    found = row(designation)
    if not isinstance(found, MeteringRow):
        raise BadInput("accuracy class", designation, "this class has no limits of correction factors")
    percent = positive_scalar("percent of rated current", percent_current)
    factor = positive_scalar("rating factor", rating_factor)
    if factor < 1.0:
        raise BadInput("rating factor", rating_factor, "the rating factor is 1 or more")
    low, full = found.limits
    if percent < low.percent_current or percent > full.percent_current * factor:
        return None
    holding = full if percent >= full.percent_current else low
    tag = FROM_MEMORY if percent > full.percent_current else found.tag
    tabulated = percent in (low.percent_current, full.percent_current, full.percent_current * factor)
    return CorrectionAt(holding.factor_low, holding.factor_high, tabulated, found.source, tag)


def burden_range(designation: str, output_va: float, *, output_low_va: float | None = None) -> BurdenRange:
    """Return the range of burden in which the limits of an IEC class hold.

    Formula: 25 to 100 % of rated output (3 and 5: 50 to 100 %), never below 1 VA; an extended burden range
    on the plate replaces the lower end; protection classes: rated output alone.
    Args: designation; output_va rated output above zero; output_low_va the lower end on the plate or None.
    Result: `BurdenRange` in VA at rated secondary current.
    Valid for the IEC measuring classes and 5P, 10P, 5PR, 10PR.
    Raises BadInput for a class without rated output, or a range that is upside down.
    Source: IEC 61869-2:2012, 5.6.201 and 5.6.202; the floor of 1 VA is from memory.

    >>> burden_range("0.5", 15).low_va
    3.75
    """
    found = row(designation)
    rated = positive_scalar("rated output", output_va)
    if not isinstance(found, MeasuringRow):
        if getattr(found, "composite_error_percent", None) is None:
            raise BadInput("accuracy class", designation, "this class has no rated output")
        return BurdenRange(rated, rated, f"{iec.EDITION}, 5.6.202.2", SEEN)
    if output_low_va is not None:
        low = positive_scalar("lower end of the burden range", output_low_va)
        if low >= rated:
            raise BadInput("lower end of the burden range", output_low_va, "it lies below the rated output")
        return BurdenRange(low, rated, "the rating plate, extended burden range", found.tag)
    share = rated * found.burden_low_percent / 100.0
    floor = 0.0 if found.burden_low_va is None else min(found.burden_low_va, rated)
    tag = found.burden_floor_tag if floor > share else found.tag
    return BurdenRange(max(share, floor), rated, found.source, tag)


def power_factor_of_test(output_va: float) -> float:
    """Return the power factor of the burden with which an IEC class is proved.

    Formula: 0.8 lagging, unity where the burden of that test is below 5 VA.
    Args: output_va, the burden of the test in VA, zero or more.
    Result: power factor, 0.8 or 1.
    Valid for the IEC measuring classes and 5P to 10PR.
    Raises BadInput for a negative output.
    Source: IEC 61869-2:2012, 5.6.201 and 5.6.202; unity below 5 VA from memory.

    >>> power_factor_of_test(3.75)
    1.0
    """
    output = not_negative("burden of the test", scalar("burden of the test", output_va))
    return 1.0 if output < iec.UNITY_BELOW_VA else iec.POWER_FACTOR_RATED


def standard_burden(name: str, *, f_hz: float = 60.0, i_secondary_rated_a: float = 5.0) -> StandardBurden:
    """Return an IEEE standard burden, scaled to the rated secondary current.

    Formula: Z (pf + j sqrt(1 - pf^2)) (5 / I_sr)^2; the impedance is kept at another frequency, so that
    L = X / (2 pi f).
    Args: name such as "B-0.5"; f_hz and i_secondary_rated_a above zero.
    Result: `StandardBurden`, z complex ohm, output in VA at rated secondary current.
    Valid at 50 and 60 Hz.
    Raises BadInput for a name without a row, a frequency or current of zero or less.
    Source: IEEE C57.13-2016, standard burdens (from memory; R and L agree with Z and power factor).

    >>> standard_burden("B-2").output_va
    50.0
    >>> standard_burden("B-4", i_secondary_rated_a=1.0).z_ohm.real
    50.0
    """
    frequency = positive_scalar("frequency", f_hz)
    current = positive_scalar("rated secondary current", i_secondary_rated_a)
    for burden in ieee.BURDENS:
        if burden.name == name:
            scale = (5.0 / current) ** 2
            reactance = burden.z_ohm * math.sqrt(1.0 - burden.power_factor**2)
            z = complex(burden.z_ohm * burden.power_factor, reactance) * scale
            henry = z.imag / (2.0 * math.pi * frequency)
            output = burden.z_ohm * 25.0
            return StandardBurden(name, z, henry, output, burden.power_factor, burden.source, burden.tag)
    known = ", ".join(burden.name for burden in ieee.BURDENS)
    raise BadInput("standard burden", name, f"the standard burdens are {known}")


def relay_burden(
    c_voltage_v: float, *, f_hz: float = 60.0, i_secondary_rated_a: float = 5.0
) -> StandardBurden:
    """Return the standard burden that belongs to a C, T or K voltage rating.

    Formula: Z = V / (20 x 5 A), so 100 V per ohm at 5 A.
    Args: c_voltage_v, the number in the class as it stands at 5 A, above zero.
    Result: `StandardBurden`; for a number without a standard burden one of the same impedance, tagged
    arithmetic, with the power factor of its neighbours (0.9 below 100 V, else 0.5).
    Valid for C10 to C800.
    Raises BadInput for a voltage, frequency or current of zero or less.
    Source: IEEE C57.13-2016, relaying classes and standard burdens (public reproduction).

    >>> relay_burden(400).name
    'B-4'
    """
    voltage = positive_scalar("class voltage", c_voltage_v)
    for rating, name in ieee.RELAY_BURDENS:
        if rating == voltage:
            return standard_burden(name, f_hz=f_hz, i_secondary_rated_a=i_secondary_rated_a)
    frequency = positive_scalar("frequency", f_hz)
    current = positive_scalar("rated secondary current", i_secondary_rated_a)
    factor = 0.9 if voltage < 100.0 else 0.5
    ohm = voltage / 100.0
    z = ohm * complex(factor, math.sqrt(1.0 - factor**2)) * (5.0 / current) ** 2
    name = f"{ohm:g} ohm, no standard burden"
    henry = z.imag / (2.0 * math.pi * frequency)
    return StandardBurden(name, z, henry, ohm * 25.0, factor, "V = 20 x 5 A x Z", "arithmetic")


def multi_ratio(designation: str) -> MultiRatioRow:
    """Return the turns of a five-lead multi-ratio winding by its highest ratio.

    Formula: none, a look-up.
    Args: designation such as "1200:5".
    Result: the row with turns per section, X1-X2 first.
    Valid for 600:5, 1200:5, 2000:5, 3000:5, 4000:5 and 5000:5.
    Raises BadInput for another ratio.
    Source: IEEE C57.13-2016, Table 8 (two public reproductions agree).

    >>> multi_ratio("1200:5").section_turns_count
    (40, 20, 100, 80)
    """
    for found in ieee.MULTI_RATIO:
        if found.designation == designation:
            return found
    known = ", ".join(found.designation for found in ieee.MULTI_RATIO)
    raise BadInput("multi-ratio winding", designation, f"the tabulated windings are {known}")


def _extended(extended_percent: float) -> float:
    top = scalar("extended current", extended_percent)
    if top < 120.0:
        raise BadInput("extended current", extended_percent, "an extended current is 120 % or more")
    return top
