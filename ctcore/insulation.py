"""Insulation resistance: correction by named tables, named sets of limits, over-range readings."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ctcore.checks import not_negative_scalar, positive_scalar, scalar
from ctcore.errors import BadInput

MOHM = 1.0e6
# Beyond this the rule of thumb has lost its meaning.
HALVING_RANGE_DEGC = (-20.0, 90.0)


@dataclass(frozen=True, slots=True)
class CorrectionTable:
    """Factors to 20 degC as (degC, factor); no points means halving of the resistance per 10 K."""

    table_id: str
    name: str
    points: tuple[tuple[float, float], ...]
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class CorrectionFactor:
    """A factor to 20 degC; `tabulated` is False between two tabulated temperatures."""

    factor: float
    tabulated: bool
    table_name: str
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class InsulationResult:
    """One reading judged: raw always, corrected None for an over-range reading, verdict as everywhere."""

    raw_ohm: float
    corrected_ohm: float | None
    factor: float
    verdict: str


@dataclass(frozen=True, slots=True)
class LimitRow:
    """The least resistance up to a nominal voltage of the equipment, and the voltage to test with."""

    nominal_v: float
    test_v: float
    limit_mohm: float


@dataclass(frozen=True, slots=True)
class LimitSet:
    """A named set of insulation limits; rows where the limit goes by nominal voltage."""

    set_id: str
    name: str
    rows: tuple[LimitRow, ...]
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class InsulationLimit:
    """A limit in ohm with the set it comes from."""

    limit_ohm: float
    set_name: str
    source: str
    tag: str


CORRECTION_TABLES = (
    CorrectionTable(
        "halving_per_10k",
        "halving per 10 K",
        (),
        "halving of the resistance per 10 K",
        "common practice, no source",
    ),
    CorrectionTable(
        "oil",
        "oil-filled, to 20 degC",
        (
            (0, 0.25), (5, 0.36), (10, 0.50), (15, 0.74), (20, 1.00), (25, 1.40), (30, 1.98), (35, 2.80),
            (40, 3.95), (45, 5.60), (50, 7.85), (55, 11.20), (60, 15.85),
        ),
        "oil-filled correction table to 20 degC, published technical note",
        "seen",
    ),
    CorrectionTable(
        "solid",
        "solid insulation, to 20 degC",
        (
            (0, 0.40), (5, 0.45), (10, 0.50), (15, 0.75), (20, 1.00), (25, 1.30), (30, 1.60), (35, 2.05),
            (40, 2.50), (45, 3.25), (50, 4.00),
        ),
        "ANSI/NETA ATS, Table 100.14, solid insulation",
        "from memory",
    ),
)  # fmt: skip

LIMIT_SETS = (
    LimitSet(
        "tradition_1_mohm",
        "1 MΩ tradition",
        (LimitRow(math.inf, 500, 1.0),),
        "custom of the trade for secondary circuits",
        "from memory",
    ),
    LimitSet(
        "neta_100_1",
        "NETA 100.1 by nominal voltage",
        (
            LimitRow(250, 500, 25),
            LimitRow(600, 1000, 100),
            LimitRow(1000, 1000, 100),
            LimitRow(2500, 1000, 500),
            LimitRow(5000, 2500, 1500),
            LimitRow(8000, 2500, 2500),
            LimitRow(15000, 2500, 5000),
            LimitRow(25000, 5000, 10000),
            LimitRow(34500, 5000, 100000),
            LimitRow(math.inf, 5000, 100000),
        ),
        "ANSI/NETA MTS-2019, Table 100.1",
        "seen",
    ),
    LimitSet("kv_plus_1_mohm", "(kV + 1) MΩ", (), "guideline of the trade", "seen"),
    LimitSet("client", "client", (), "limit stated by the client", "common practice, no source"),
)


def correction_table(table_id: str) -> CorrectionTable:
    """Return a correction table by its id.

    Formula: none, a look-up.
    Args: "halving_per_10k", "oil" or "solid".
    Result: `CorrectionTable`.
    Valid for the insulation that the table names.
    Raises BadInput for another id.
    Source: stands in each table.

    >>> correction_table("oil").tag
    'seen'
    """
    for table in CORRECTION_TABLES:
        if table.table_id == table_id:
            return table
    known = ", ".join(table.table_id for table in CORRECTION_TABLES)
    raise BadInput("correction table", table_id, f"the tables are {known}")


def limit_set(set_id: str) -> LimitSet:
    """Return a limit set by its id.

    Formula: none, a look-up.
    Args: "tradition_1_mohm", "neta_100_1", "kv_plus_1_mohm" or "client".
    Result: `LimitSet`.
    Valid for the equipment that the set speaks of; guides conflict widely, so the job names its set.
    Raises BadInput for another id.
    Source: stands in each set.

    >>> limit_set("tradition_1_mohm").name
    '1 MΩ tradition'
    """
    for found in LIMIT_SETS:
        if found.set_id == set_id:
            return found
    known = ", ".join(found.set_id for found in LIMIT_SETS)
    raise BadInput("limit set", set_id, f"the limit sets are {known}")


def factor_to_20degc(t_measured_degc: float, table_id: str = "halving_per_10k") -> CorrectionFactor:
    """Return the factor that carries an insulation resistance to 20 degC.

    Formula: 2^((t - 20)/10), or the table's factor, between two of its temperatures on a straight line of
    ln factor against temperature, marked not tabulated.
    Args: temperature of the insulation in degC; id of the table.
    Result: `CorrectionFactor`; below 1 under 20 degC, where leaving it out is optimistic.
    Valid from -20 to 90 degC for halving, inside its temperatures for a table.
    Raises BadInput outside, and for an unknown table.
    Source: stands in each table.

    >>> factor_to_20degc(35.0, "oil").factor
    2.8
    >>> factor_to_20degc(30.0).factor
    2.0
    """
    table = correction_table(table_id)
    degc = scalar("temperature of the insulation", t_measured_degc)
    if not table.points:
        _inside(degc, *HALVING_RANGE_DEGC, table)
        return CorrectionFactor(2.0 ** ((degc - 20.0) / 10.0), True, table.name, table.source, table.tag)
    _inside(degc, table.points[0][0], table.points[-1][0], table)
    low = [point for point in table.points if point[0] <= degc][-1]
    high = next(point for point in table.points if point[0] >= degc)
    if low == high:
        return CorrectionFactor(low[1], True, table.name, table.source, table.tag)
    share = (degc - low[0]) / (high[0] - low[0])
    factor = low[1] * (high[1] / low[1]) ** share
    return CorrectionFactor(factor, False, table.name, table.source, table.tag)


def limit(
    set_id: str, *, nominal_v: float | None = None, client_limit_ohm: float | None = None
) -> InsulationLimit:
    """Return the least insulation resistance that a limit set asks for.

    Formula: the row of the next nominal voltage; (kV + 1) MOhm; or the client's own figure.
    Args: id of the set; nominal voltage of the equipment in V where the set goes by it; the client's limit in
    ohm where the set is the client's.
    Result: `InsulationLimit` in ohm at 20 degC.
    Valid for the equipment that the set speaks of.
    Raises BadInput for an unknown set, or a voltage or limit that the set needs and that is missing.
    Source: stands in each set.

    >>> limit("kv_plus_1_mohm", nominal_v=36000).limit_ohm
    37000000.0
    """
    found = limit_set(set_id)
    if found.set_id == "client":
        ohm = positive_scalar("limit of the client", client_limit_ohm)
    elif found.set_id == "tradition_1_mohm":
        ohm = found.rows[0].limit_mohm * MOHM
    else:
        volt = positive_scalar("nominal voltage", nominal_v)
        row = next((row for row in found.rows if row.nominal_v >= volt), None)
        ohm = (volt / 1000.0 + 1.0 if row is None else row.limit_mohm) * MOHM
    return InsulationLimit(ohm, found.name, found.source, found.tag)


def judge(
    r_ohm: float,
    factor: float,
    limit_ohm: float,
    *,
    over_range: bool = False,
    under_range: bool = False,
) -> InsulationResult:
    """Return a reading beside its corrected value, with the verdict.

    Formula: corrected = raw x factor, within when at or above the limit.
    Args: reading in ohm, zero or more; factor to 20 degC; limit in ohm; whether the instrument showed ">"
    or "<".
    Result: `InsulationResult`. ">x" is within where x times its factor reaches the limit, otherwise refer;
    "<x" is outside where x times its factor stays below the limit, otherwise refer; neither is ever shown
    as a
    corrected value.
    Valid with the temperature of the insulation known.
    Raises BadInput for negative readings, factors or limits of zero or less, or both signs at once.
    Source: common practice, no source.

    >>> judge(2e9, 2.0, 1e9).verdict, judge(2e8, 2.0, 1e9, over_range=True).verdict
    ('within', 'refer')
    """
    raw = not_negative_scalar("insulation resistance", r_ohm)
    scale = positive_scalar("correction factor", factor)
    least = positive_scalar("limit", limit_ohm)
    if over_range and under_range:
        raise BadInput("insulation resistance", r_ohm, "a reading is not over and under the range at once")
    reached = raw * scale >= least
    if over_range:
        return InsulationResult(raw, None, scale, "within" if reached else "refer")
    if under_range:
        return InsulationResult(raw, None, scale, "refer" if raw * scale > least else "outside")
    return InsulationResult(raw, raw * scale, scale, "within" if reached else "outside")


def polarisation_index(r_10min_ohm: float, r_1min_ohm: float) -> float:
    """Return the polarisation index; it is shown, never judged: its limits are for rotating machines.

    Formula: R(10 min) / R(1 min).
    Args: ohm, above zero.
    Result: ratio.
    Valid with the voltage kept on throughout.
    Raises BadInput for values of zero or less.
    Source: IEEE 43, definition (from memory).

    >>> polarisation_index(4e9, 2e9)
    2.0
    """
    later = positive_scalar("resistance after 10 min", r_10min_ohm)
    return later / positive_scalar("resistance after 1 min", r_1min_ohm)


def absorption_ratio(r_60s_ohm: float, r_30s_ohm: float) -> float:
    """Return the dielectric absorption ratio; it is shown, never judged.

    Formula: R(60 s) / R(30 s).
    Args: ohm, above zero.
    Result: ratio.
    Valid with the voltage kept on throughout.
    Raises BadInput for values of zero or less.
    Source: insulation-test practice (from memory).

    >>> absorption_ratio(3e9, 2e9)
    1.5
    """
    later = positive_scalar("resistance after 60 s", r_60s_ohm)
    return later / positive_scalar("resistance after 30 s", r_30s_ohm)


def discharge_time_s(test_time_s: float) -> float:
    """Return the least time for which to discharge after an insulation test.

    Formula: 4 x test time.
    Args: time under voltage in s, above zero.
    Result: s.
    Valid as a least time; the owner's rules come first, and charge recovers after a short touch.
    Raises BadInput for a time of zero or less.
    Source: insulation-test practice (from memory).

    >>> discharge_time_s(60.0)
    240.0
    """
    return 4.0 * positive_scalar("test time", test_time_s)


def _inside(degc: float, low: float, high: float, table: CorrectionTable) -> None:
    if not low <= degc <= high:
        reason = f"the table '{table.name}' runs from {low:g} to {high:g} degC"
        raise BadInput("temperature of the insulation", degc, reason)
