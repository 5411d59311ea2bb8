"""A value against its limit: the office's own limit where it set one, the decision rule, and the words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import get_args

from ctcore import digits, figures
from ctcore.decision import Decision, decide
from ctcore.errors import BadInput
from ctcore.findings import Finding, Standing, Verdict
from ctcore.job import Core, LimitOverride
from ctcore.judgement.spot import Spot, told
from ctcore.nameplate import parse_class, parts_held
from ctcore.quantities import quantity

# More than any class has parts.
_OWN_CORE = 1000
_STANDINGS: tuple[Standing, ...] = get_args(Standing)


@dataclass(frozen=True, slots=True)
class Limit:
    """A lower or an upper limit or both, in the base unit, with the id of the rule, source and standing.

    `doubt` is a sentence that forbids a "within" by this limit; empty where nothing stands against it.
    """

    rule: str
    low: float | None
    high: float | None
    source: str
    standing: Standing
    doubt: str = ""


def against_limit(
    spot: Spot,
    quantity_id: str,
    value: float,
    limit: Limit,
    *,
    u_expanded: float | None = None,
    doubts: Iterable[str] = (),
    indicative: Iterable[str] = (),
    beyond: Verdict = "outside",
    guarded: bool = True,
    note: str = "",
) -> Finding:
    """Judge one value by the decision rule of the job.

    `doubts` are sentences that forbid a "within" and leave an "outside" standing; `indicative` ones forbid
    both, because the limit does not strictly apply. `beyond` is the verdict of a passed limit where passing
    it is no failure; `guarded` is False for comparisons, which are judged simply whatever the rule of the
    job, since nothing states their uncertainty. `note` is said whatever the verdict.
    """
    held = overridden(spot, limit)
    rule = spot.scene.job.references.decision_rule if guarded else "simple"
    try:
        decision = _decided(value, held.low, held.high, u_expanded, rule)
    except BadInput as refusal:
        text = f"The limit cannot be used: {refusal.quantity}, {refusal.reason}."
        return told(
            spot, quantity_id, "refer", text, value=value, rule=limit.rule, source=held.source,
            standing=held.standing,
        )  # fmt: skip
    verdict: Verdict = {"within": "within", "outside": beyond}.get(decision.verdict, "refer")
    only_compared = tuple(indicative)
    doubted = (*doubts, *([held.doubt] if held.doubt else ()))
    reasons = (*only_compared, *(doubted if decision.verdict != "outside" else ()))
    if only_compared or (reasons and verdict == "within"):
        verdict = "refer"
    nearest, margin = _nearest(value, held)
    sentence = _sentence(quantity_id, value, held, u_expanded=u_expanded)
    why = _by_rule(decision, held, value, u_expanded=u_expanded, rule=rule)
    finding = told(
        spot,
        quantity_id,
        verdict,
        " ".join(filter(None, (sentence, why, *reasons, note, standing_words(held)))),
        value=value,
        rule=limit.rule,
        source=held.source,
        standing=held.standing,
        u_expanded=u_expanded,
        reason=" ".join(filter(None, (why, *reasons, note))),
    )
    return replace(
        finding,
        limit=nearest,
        margin=margin,
        limit_low=held.low,
        limit_high=held.high,
        probability_of_conformance=decision.probability_of_conformance,
    )


def overridden(spot: Spot, limit: Limit) -> Limit:
    """The limit of the office in place of the book's, where the job holds one for this rule and core."""
    ranked = [
        (rank, place, entry)
        for place, entry in enumerate(spot.scene.job.references.limit_overrides)
        if entry.rule == limit.rule and (rank := _rank(entry, spot.scene.core))
    ]
    if not ranked:
        return limit
    entry = max(ranked, key=lambda one: one[:2])[2]
    source = f"limit set by {entry.person_text}: {entry.reason_text}, in place of {limit.source}"
    signed = entry.person_text.strip() and entry.reason_text.strip()
    doubt = "" if signed else "A limit of the office needs a reason and a name."
    if entry.class_text and _has_several_classes(spot.scene.core):
        told_of = f"The limit was set for {entry.class_text}, and this core has several classes."
        doubt = " ".join(filter(None, (doubt, told_of)))
    return Limit(limit.rule, entry.limit_low, entry.limit_high, source, "office", doubt)


def _rank(entry: LimitOverride, core: Core) -> int:
    """How closely a limit of the office names a core, 0 where it does not hold there.

    One for this very core goes before one for its class, the more of the class it states the sooner, and that
    before one for all cores; of two alike the later one holds.
    """
    if entry.core_id not in ("", core.core_id):
        return 0
    parts = parts_held(entry.class_text, core.class_text) if entry.class_text else 0
    if entry.class_text and not parts:
        return 0
    return 1 + parts + (_OWN_CORE if entry.core_id else 0)


def _has_several_classes(core: Core) -> bool:
    try:
        return bool(parse_class(core.class_text).further)
    except BadInput:
        return False


@lru_cache(maxsize=8192)
def shown(quantity_id: str, value: float) -> str:
    """A value in the trade unit of its quantity, with its unit.

    >>> shown("i_excitation_a", 0.0309).replace(figures.UNIT_GAP, " ")
    '30.90 mA'
    """
    return digits.with_unit(value, quantity(quantity_id))


def to_four_digits(value: float) -> float:
    """A limit that is computed, as it is printed: what is shown is what is judged by.

    >>> to_four_digits(424.35452)
    424.4
    """
    return float(f"{value:.4g}")


# One reading changes, all others of the core are judged again: what did not change is remembered.
_decided = lru_cache(maxsize=8192)(decide)


def _nearest(value: float, limit: Limit) -> tuple[float | None, float]:
    """The limit nearer to the value, and what is in hand to it, negative when it is passed."""
    sides = []
    if limit.low is not None:
        sides.append((value - limit.low, limit.low))
    if limit.high is not None:
        sides.append((limit.high - value, limit.high))
    margin, nearest = min(sides)
    return nearest, margin


def _sentence(quantity_id: str, value: float, limit: Limit, *, u_expanded: float | None) -> str:
    name = quantity(quantity_id).name
    figure = shown(quantity_id, value)
    spread = "" if u_expanded is None else f" ± {shown(quantity_id, u_expanded).lstrip('+')} (k = 2)"
    _, margin = _nearest(value, limit)
    room = _room(quantity_id, abs(margin))
    hand = f"{room} in hand" if margin >= 0 else f"{room} {'short of it' if _below(value, limit) else 'over'}"
    return f"{name[:1].upper()}{name[1:]} {figure}{spread}, {_limit_words(quantity_id, limit)}: {hand}."


def _by_rule(decision: Decision, limit: Limit, value: float, *, u_expanded: float | None, rule: str) -> str:
    """What the decision rule made of the comparison, where that is more than inside or outside."""
    if rule != "simple" and u_expanded is None:
        return "The decision rule of the job needs the uncertainty, which is not stated."
    if rule == "guard_band" and decision.verdict != "within" and _nearest(value, limit)[1] >= 0.0:
        return "Inside the limit, but closer to it than the uncertainty: the guard band is passed."
    if decision.condition in ("conditional pass", "conditional fail"):
        return f"Closer to the limit than the uncertainty: {decision.condition}."
    return ""


def _room(quantity_id: str, margin: float) -> str:
    figure = shown(quantity_id, margin).lstrip("+")
    hidden = margin > 0.0 and not any(letter in "123456789" for letter in figure)
    return "less than the last digit shown" if hidden else figure


@lru_cache(maxsize=2048)
def _figure_of_limit(quantity_id: str, limit: float) -> str:
    """A limit as it is printed in its table, without digits that it does not have."""
    plain = figures.with_unit(limit, quantity(quantity_id).unit)
    exact = shown(quantity_id, limit).lstrip("+")
    return plain if len(plain) <= len(exact) else exact


def _below(value: float, limit: Limit) -> bool:
    return limit.low is not None and value < limit.low


def _limit_words(quantity_id: str, limit: Limit) -> str:
    low = None if limit.low is None else _figure_of_limit(quantity_id, limit.low)
    high = None if limit.high is None else _figure_of_limit(quantity_id, limit.high)
    if limit.low is not None and limit.high is not None:
        return f"limit ±{high}" if limit.low == -limit.high else f"limits {low} to {high}"
    return f"at least {low}" if high is None else f"at most {high}"


def standing_of(tag: str) -> Standing:
    """The standing of a limit from the tag of its row; an unknown tag counts as from memory.

    >>> standing_of("seen"), standing_of("heard")
    ('seen', 'from memory')
    """
    return next((entry for entry in _STANDINGS if entry == tag), "from memory")


def standing_words(limit: Limit) -> str:
    """What is printed of how well a limit is founded; empty where its source says all."""
    if limit.standing == "from memory":
        return "Limit from memory: check against the standard."
    if limit.standing == "common practice, no source":
        return "Limit by common practice, no source."
    if limit.standing == "office":
        return f"Limit of the office ({limit.source})."
    return ""
