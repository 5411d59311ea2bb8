"""Is a value within its limits, given what is known of its uncertainty?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from ctcore.checks import scalar
from ctcore.errors import BadInput

RULES = ("simple", "guard_band", "four_way")


@dataclass(frozen=True, slots=True)
class Decision:
    """What a decision rule says of one value.

    `verdict` is "within", "outside" or "refer". `condition` is the word of the four-way rule ("pass",
    "conditional pass", "conditional fail", "fail") and None for the other rules. The acceptance limits are
    those that the rule compared with; None where there is no limit on that side or no uncertainty to
    draw a guard band from.
    """

    verdict: str
    probability_of_conformance: float | None
    acceptance_low: float | None
    acceptance_high: float | None
    condition: str | None = None


def decide(
    value: float,
    limit_low: float | None,
    limit_high: float | None,
    u_expanded: float | None = None,
    rule: str = "simple",
) -> Decision:
    """Judge a value against a lower limit, an upper limit, or both.

    Formula: guard band w = U; acceptance zone limit_low + w to limit_high - w;
    probability of conformance Phi((limit_high - y)/u) - Phi((limit_low - y)/u) with u = U/2.
    Args: value and limits in one unit; either limit may be None; u_expanded is U (k = 2), zero or more,
    or None when not stated; rule "simple" (the limits as they stand), "guard_band" (the acceptance zone)
    or "four_way" (pass, conditional pass, conditional fail, fail; both conditional results are "refer").
    Result: `Decision`. On the limit is within. Without U the guarded rules say "refer" and the probability
    is None. An empty acceptance zone gives "refer" under "guard_band".
    Valid for a value whose error is about normal.
    Raises BadInput for a value that is no number, no limit at all, crossed limits, negative U, unknown rule.
    Source: ILAC-G8:09/2019, 4.2; JCGM 106:2012, 7.

    >>> decide(0.47, None, 0.5, 0.06, "guard_band").verdict
    'outside'
    >>> decide(0.47, None, 0.5, 0.06, "four_way").condition
    'conditional pass'
    """
    y = scalar("value", value)
    low, high = _limits(limit_low, limit_high)
    u = _expanded(u_expanded)
    if rule not in RULES:
        raise BadInput("decision rule", rule, "the rules are simple, guard_band and four_way")
    probability = _probability(y, low, high, u)
    if rule == "simple":
        return Decision("within" if _between(y, low, high) else "outside", probability, low, high)
    if u is None:
        return Decision("refer", None, None, None)
    inner_low, inner_high = _moved(low, u), _moved(high, -u)
    if rule == "guard_band":
        return Decision(_guarded(y, inner_low, inner_high), probability, inner_low, inner_high)
    condition = _four_way(y, low, high, u)
    verdict = {"pass": "within", "fail": "outside"}.get(condition, "refer")
    return Decision(verdict, probability, inner_low, inner_high, condition)


def _limits(limit_low: float | None, limit_high: float | None) -> tuple[float | None, float | None]:
    low = None if limit_low is None else scalar("lower limit", limit_low)
    high = None if limit_high is None else scalar("upper limit", limit_high)
    if low is None and high is None:
        raise BadInput("limit", None, "at least one limit is needed")
    if low is not None and high is not None and low > high:
        raise BadInput("lower limit", limit_low, f"it lies above the upper limit {high:g}")
    return low, high


def _expanded(u_expanded: float | None) -> float | None:
    if u_expanded is None:
        return None
    u = scalar("expanded uncertainty", u_expanded)
    if u < 0.0:
        raise BadInput("expanded uncertainty", u_expanded, "the value is zero or more")
    return u


def _moved(limit: float | None, step: float) -> float | None:
    # In decimal digits as printed: a value typed on the acceptance limit (0.1 against 1 - 0.9) is on it.
    return None if limit is None else float(Decimal(repr(limit)) + Decimal(repr(step)))


def _between(y: float, low: float | None, high: float | None) -> bool:
    return (low is None or y >= low) and (high is None or y <= high)


def _guarded(y: float, low: float | None, high: float | None) -> str:
    if low is not None and high is not None and low > high:
        return "refer"
    return "within" if _between(y, low, high) else "outside"


def _four_way(y: float, low: float | None, high: float | None, u: float) -> str:
    if _between(y, _moved(low, u), _moved(high, -u)):
        return "pass"
    if _between(y, low, high):
        return "conditional pass"
    # The outer edge of the guard band still belongs to the conditional result.
    return "conditional fail" if _between(y, _moved(low, -u), _moved(high, u)) else "fail"


def _probability(y: float, low: float | None, high: float | None, u_expanded: float | None) -> float | None:
    if u_expanded is None:
        return None
    u = u_expanded / 2.0
    if u == 0.0:
        return 1.0 if _between(y, low, high) else 0.0
    above = 0.0 if high is None else _upper_tail((high - y) / u)
    below = 0.0 if low is None else _upper_tail((y - low) / u)
    return min(1.0, max(0.0, 1.0 - above - below))


def _upper_tail(z: float) -> float:
    return 0.5 * math.erfc(z / math.sqrt(2.0))
