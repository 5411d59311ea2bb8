"""Laptops that work, hand out, take in and answer: the union is the same in whatever order."""

from __future__ import annotations

from random import Random

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, rule

from app.desk.merging import united
from tests.app.desk.merging.acts import ACTS, Act
from tests.app.desk.merging.checking import failure
from tests.app.desk.merging.laptops import Laptop

LETTERS = "ABCDE"
CHANCE = st.integers(0, 2**16).map(Random)


class Laptops(RuleBasedStateMachine):
    """Up to five laptops on one job."""

    laptops = Bundle("laptops")

    def __init__(self) -> None:
        super().__init__()
        self.all: list[Laptop] = []

    @rule(target=laptops)
    def start(self) -> Laptop:
        if not self.all:
            self.all.append(Laptop.with_new_job("A"))
        return self.all[0]

    @rule(target=laptops, one=laptops)
    def hand_out(self, one: Laptop) -> Laptop:
        if len(self.all) < len(LETTERS):
            self.all.append(one.hand_out(LETTERS[len(self.all)]))
        return self.all[-1]

    @rule(one=laptops, act=st.sampled_from(ACTS), chance=CHANCE)
    def work(self, one: Laptop, act: Act, chance: Random) -> None:
        act(one, chance)

    @rule(one=laptops, other=laptops, act=st.sampled_from(ACTS), chance=CHANCE)
    def work_alike(self, one: Laptop, other: Laptop, act: Act, chance: Random) -> None:
        act(one, chance)
        act(other, chance)

    @rule(one=laptops, other=laptops)
    def take(self, one: Laptop, other: Laptop) -> None:
        if one is not other:
            one.take(other)

    @rule(one=laptops, other=laptops)
    def take_each_other(self, one: Laptop, other: Laptop) -> None:
        if one is not other:
            one.take(other)
            other.take(one)

    @invariant()
    def nothing_is_wrong_with_the_union(self) -> None:
        if self.all:
            assert not failure(self.all, united, Random(len(self.all)))


Laptops.TestCase.settings = settings(max_examples=60, stateful_step_count=25, deadline=None)
TestLaptops = Laptops.TestCase
