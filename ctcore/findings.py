"""What a judgement says: one finding per judged quantity, and the order of the verdicts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final, Literal, get_args

from ctcore.job import LATER

Verdict = Literal["within", "outside", "refer", "not tested", "not applicable"]
Standing = Literal["seen", "from memory", "common practice, no source", "arithmetic", "plate", "office"]

VERDICTS: Final[tuple[Verdict, ...]] = get_args(Verdict)

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
