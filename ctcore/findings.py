"""What a judgement says: one finding per judged quantity, and the order of the verdicts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final, Literal, get_args

from ctcore import figures
from ctcore.job import LATER

Verdict = Literal["within", "outside", "refer", "not tested", "not applicable"]
Standing = Literal["seen", "from memory", "common practice, no source", "arithmetic", "plate", "office"]

VERDICTS: Final[tuple[Verdict, ...]] = get_args(Verdict)

# Practice: beyond these the tails of an assumed normal distribution tell nothing; common practice, no source.
_BOUNDS_PERCENT: Final = (0.1, 99.9)
_WORST_FIRST: Final[dict[Verdict, int]] = {
    "outside": 0,
    "refer": 1,
    "not tested": 2,
    "within": 3,
    "not applicable": 4,
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One judged quantity of one core.

    `value`, `limit` and `margin` are in the base unit named by `unit`; `margin` is what is in hand, negative
    when the limit is passed. A two-sided limit carries both `limit_low` and `limit_high`, and `limit` is the
    one nearer to the value. `limit_standing` says how well the limit is founded; "from memory" is printed
    with the words "check against the standard". `text` says all in sentences; `reason` only what the figures
    beside it do not say, and is empty where they say all.

    >>> Finding("c1", "r_winding_75degc_ohm", 2.63, 3.0, 0.37, "within", "plate", "resistance.limit").verdict
    'within'
    """

    core: str
    quantity: str
    value: float | str | None
    limit: float | str | None
    margin: float | None
    verdict: Verdict
    source: str
    rule: str
    procedure: str = ""
    row: str = ""
    take: int = 0
    unit: str = ""
    limit_low: float | None = None
    limit_high: float | None = None
    u_expanded: float | None = None
    probability_of_conformance: float | None = None
    limit_standing: Standing = "plate"
    text: str = ""
    reason: str = field(default="", metadata=LATER)


def conformance_text(finding: Finding) -> str:
    """How probable it is that the true value keeps the limit; empty where no uncertainty is stated.

    Source: JCGM 106:2012, 7.4 and 8.3 (from memory); at the ends of the scale only a bound is told.

    >>> told = Finding("c1", "ratio_error_percent", 0.4, 0.5, 0.1, "within", "IEC", "ratio.error",
    ...                probability_of_conformance=0.9772)
    >>> conformance_text(told).replace(figures.UNIT_GAP, " ")
    'probability of conformance 97.7 %'
    """
    probability = finding.probability_of_conformance
    if probability is None:
        return ""
    percent = 100.0 * probability
    least, most = _BOUNDS_PERCENT
    sign = "above " if percent > most else "below " if percent < least else ""
    shown = figures.with_unit(min(max(percent, least), most), "percent", decimals=1)
    return f"probability of conformance {sign}{shown}"


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The verdict that a whole shows: the worst of its parts.

    >>> worst(["within", "refer", "not tested"])
    'refer'
    >>> worst(["within", "not applicable"])
    'within'
    >>> worst([])
    'not tested'
    """
    return min(verdicts, key=_WORST_FIRST.__getitem__, default="not tested")


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """The findings in the order outside, refer, not tested, within, not applicable; ties keep theirs."""
    return sorted(findings, key=lambda finding: _WORST_FIRST[finding.verdict])
