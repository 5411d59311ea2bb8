"""Insulation resistance over time under one voltage: what it comes to, and how it grew."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from ctcore import insulation
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.judgement import insulation as of_insulation
from ctcore.judgement.cells import Number, Trouble, choice, number, value_of
from ctcore.judgement.insulation import RAW
from ctcore.judgement.limit import shown
from ctcore.judgement.memory import remembered
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.quantities import quantity
from ctcore.takes import Row, Take

PAIR: Final = "insulation_pair"
# Practice: readings at these times, the one after a minute judged; insulation-test practice, from memory.
TIMES_S: Final = (15, 30, 45, 60, *range(120, 601, 60))
_JUDGED_S: Final = 60
_JUDGED: Final = f"{_JUDGED_S}s"


def _words(time_s: int) -> str:
    return f"{time_s} s" if time_s < 60 else f"{time_s // 60} min"


ROWS: Final = tuple(
    FixedRow(row=f"{time_s}s", words=_words(time_s), required=time_s == _JUDGED_S) for time_s in TIMES_S
)
SECONDS: Final = {f"{time_s}s": float(time_s) for time_s in TIMES_S}


@dataclass(frozen=True, slots=True)
class Growth:
    """Resistance at 20 °C over time: (row, s, ohm) in the order of time, and the limit where there is one.

    `left_out_count` are readings that are a bound, or that nothing carries to 20 °C.
    """

    points: tuple[tuple[str, float, float], ...]
    limit_ohm: float | None
    left_out_count: int


@remembered()
def derive(scene: Scene, take: Take) -> list[Derived]:
    """Every reading carried to 20 °C; a bound is never carried."""
    return of_insulation.derive(scene, take)


@remembered()
def judge(scene: Scene, take: Take) -> list[Finding]:
    """The reading after a minute against the limit of its pair, and both ratios, which are shown alone."""
    return [_after_a_minute(scene, take), *_ratios(scene, take)]


def growth(scene: Scene, take: Take) -> Growth:
    """What a plot of the resistance over time shows."""
    ohms = {entry.row: entry.value for entry in derive(scene, take) if isinstance(entry.value, float)}
    points = tuple((row, SECONDS[row], ohms[row]) for row in SECONDS if ohms.get(row, 0.0) > 0.0)
    left_out = sum(1 for row in take.rows if row.row in SECONDS and not row.struck) - len(points)
    return Growth(points, _limit_ohm(scene, take), left_out)


def _limit_ohm(scene: Scene, take: Take) -> float | None:
    pair = choice(take.method, PAIR)
    if isinstance(pair, Trouble):
        return None
    return of_insulation.least_ohm(Spot(scene, take, pair))


def _after_a_minute(scene: Scene, take: Take) -> Finding:
    """Judged as the insulation test judges a reading of this pair."""
    spot, pair = Spot(scene, take, _JUDGED), choice(take.method, PAIR)
    if isinstance(pair, Trouble):
        return troubled(spot, RAW, pair, rule="insulation_time.pair")
    read = take.row(_JUDGED)
    if not read.cells:
        text = "No reading after one minute, which is the one to judge."
        return told(spot, RAW, "not tested", text, rule="insulation_time.reading")
    cells = {RAW: read.cell(RAW), "v_test_v": take.method.cell("v_test_v")}
    alike = replace(take, rows=(Row(pair, cells),))
    fixed = next(fixed for fixed in of_insulation.ROWS if fixed.row == pair)
    return replace(of_insulation.judge_row(Spot(scene, alike, pair), fixed), row=_JUDGED)


def _ratios(scene: Scene, take: Take) -> list[Finding]:
    found = [
        _ratio(Spot(scene, take), take.row(later), take.row(sooner), quantity_id, ratio)
        for quantity_id, ratio, later, sooner in (
            ("absorption_ratio", insulation.absorption_ratio, "60s", "30s"),
            ("polarisation_index_ratio", insulation.polarisation_index, "600s", "60s"),
        )
    ]
    return [finding for finding in found if finding is not None]


def _ratio(
    spot: Spot, later: Row, sooner: Row, quantity_id: str, ratio: Callable[[float, float], float]
) -> Finding | None:
    """One ratio, shown alone; None where one of its readings is missing."""
    name = quantity(quantity_id).name.capitalize()
    told_of = partial(told, spot, quantity_id, "not applicable", rule=f"insulation_time.{quantity_id}")
    high, low = (number(row, RAW, range_signs=True) for row in (later, sooner))
    if not isinstance(high, Number) or not isinstance(low, Number):
        return None
    if value_of(later, RAW) is None or value_of(sooner, RAW) is None:
        return told_of(f"{name}: of a reading over or under the range no ratio is known.")
    try:
        value = ratio(high.value, low.value)
    except BadInput as refusal:
        return told_of(f"{name}: {refusal.quantity}, {refusal.reason}.")
    text = f"{name} {shown(quantity_id, value)}: shown, not judged; its limits are of rotating machines."
    return told_of(text, value=value, source="insulation-test practice", standing="from memory")
