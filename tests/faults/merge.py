"""Merges at random: three laptops work apart on one job, then everything comes together in every order.

No reading may be lost or invented, and the result may not depend on who takes in whom. The control is a merge
that keeps only one side of two: the suite has to notice it.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from app.desk.merging import Form, united
from tests.app.desk.merging.laptops import Laptop

SHORT, LONG = 300, 10_000
_SEED = 20_310_504

Merge = Callable[[Form, Form], Form]


def run(long: bool = False) -> dict[str, Any]:
    """Merge so often; every failure is counted, and the spoiled merge has to fail."""
    count = LONG if long else SHORT
    failures = [told for number in range(count) if (told := _failure(number, united))]
    return {
        "name": "merge",
        "cases": count,
        "failed": len(failures),
        "failures": failures[:5],
        "control_caught": any(_failure(number, _one_side) for number in range(20)),
    }


def _failure(number: int, merge: Merge) -> str:
    """What went wrong in one case; empty where nothing did."""
    chance = random.Random(_SEED + number)
    laptops = _work(chance)
    forms = [laptop.form for laptop in laptops]
    orders = [chance.sample(forms, len(forms)) for _ in range(3)]
    results = [_together(order, merge) for order in orders]
    results.append(merge(forms[0], merge(forms[1], forms[2])))
    if any(result != results[0] for result in results):
        return f"case {number}: the result depends on the order"
    made = sorted(one.reading_id for laptop in laptops for one in laptop.made)
    found = sorted(one.reading_id for one in results[0].job.readings)
    if made != found:
        return f"case {number}: {len(set(made) - set(found))} lost, {len(set(found) - set(made))} invented"
    known = {one.reading_id: one for laptop in laptops for one in laptop.made}
    if any(known[one.reading_id] != one for one in results[0].job.readings):
        return f"case {number}: a reading says something else"
    return ""


def _together(forms: list[Form], merge: Merge) -> Form:
    result = forms[0]
    for form in forms[1:]:
        result = merge(result, form)
    return result


def _one_side(one: Form, _other: Form) -> Form:
    return one


def _work(chance: random.Random) -> list[Laptop]:
    """Three laptops that did this and that, and took in some of it on the way."""
    first = Laptop.with_new_job("A")
    _do_some(first, chance)
    laptops = [first, first.hand_out("B"), first.hand_out("C")]
    for _ in range(chance.randint(1, 4)):
        for laptop in laptops:
            _do_some(laptop, chance)
        one, other = chance.sample(laptops, 2)
        if chance.random() < 0.5:
            one.take(other)
    return laptops


def _do_some(laptop: Laptop, chance: random.Random) -> None:
    acts: list[Callable[[], object]] = [
        lambda: laptop.key(chance.choice("ab"), f"{chance.randint(1, 9)}.{chance.randint(0, 9)}"),
        lambda: laptop.key(chance.choice("ab"), f"{chance.randint(1, 9)}"),
        lambda: laptop.title(weather_text=chance.choice(("rain", "dry", "fog"))),
        lambda: laptop.title(supply_text=chance.choice(("mains", "generator"))),
        lambda: laptop.class_text(chance.choice(("5P10 15 VA", "0.5 10 VA"))),
        lambda: laptop.instrument("i1", chance.choice(("Bridge", "Meter"))),
        lambda: laptop.without_instrument("i1"),
        lambda: laptop.add_position("S2"),
        lambda: laptop.without_position("S2"),
        lambda: laptop.remark("looked at"),
        lambda: laptop.land("lead 1"),
        lambda: laptop.answer(chance.randint(0, 1)),
    ]
    for act in chance.choices(acts, k=chance.randint(0, 5)):
        act()
