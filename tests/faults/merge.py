"""Merges at random: up to five laptops work apart on one job, then everything comes together in many orders.

No reading may be lost or invented, nothing that was said differently may go unasked, and the result may not
depend on who takes in whom. The control is a merge
that keeps only one side of two: the suite has to notice it.
"""

from __future__ import annotations

import random
from typing import Any

from app.desk.merging import Form, united
from tests.app.desk.merging.acts import ACTS
from tests.app.desk.merging.checking import Merge, failure
from tests.app.desk.merging.laptops import Laptop

SHORT, LONG = 300, 10_000
_SEED = 20_310_504


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
    told = failure(_work(chance), merge, chance)
    return f"case {number}: {told}" if told else ""


def _one_side(one: Form, _other: Form) -> Form:
    return one


def _work(chance: random.Random) -> list[Laptop]:
    """Laptops that did this and that, handed the job out, and took in some of it on the way."""
    laptops = [Laptop.with_new_job("A")]
    _do_some(laptops[0], chance)
    for letter in "BCDE"[: chance.choice((1, 2, 2, 3, 4))]:
        laptops.append(chance.choice(laptops).hand_out(letter))
    for _ in range(chance.randint(1, 4)):
        for laptop in laptops:
            _do_some(laptop, chance)
        one, other = chance.sample(laptops, 2)
        if chance.random() < 0.6:
            one.take(other)
        if chance.random() < 0.3:
            other.take(one)
    return laptops


def _do_some(laptop: Laptop, chance: random.Random) -> None:
    """A few acts out of some, so that two laptops often do the same thing."""
    acts = ACTS if chance.random() < 0.5 else chance.sample(ACTS, 3)
    for act in chance.choices(acts, k=chance.randint(0, 5)):
        act(laptop, chance)
