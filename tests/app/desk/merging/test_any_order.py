"""Laptops that work, hand out, take in and answer: the union is the same in whatever order."""

from __future__ import annotations

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, rule

from app.desk.merging import united
from tests.app.desk.merging.laptops import Laptop

LETTERS = "ABCDE"


class Laptops(RuleBasedStateMachine):
    """Up to five laptops on one job."""

    laptops = Bundle("laptops")

    def __init__(self) -> None:
        super().__init__()
        self.all: list[Laptop] = []
        self.keyed: set[str] = set()

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

    @rule(one=laptops, row=st.sampled_from("ab"), text=st.sampled_from(["1", "2", "3"]))
    def key(self, one: Laptop, row: str, text: str) -> None:
        self.keyed.add(one.key(row, text).reading_id)

    @rule(one=laptops, text=st.sampled_from(["rain", "dry"]))
    def weather(self, one: Laptop, text: str) -> None:
        one.title(weather_text=text)

    @rule(one=laptops, text=st.sampled_from(["mains", "generator"]))
    def supply(self, one: Laptop, text: str) -> None:
        one.title(supply_text=text)

    @rule(one=laptops, text=st.sampled_from(["5P10 15 VA", "0.5 10 VA"]))
    def plate(self, one: Laptop, text: str) -> None:
        one.class_text(text)

    @rule(one=laptops, name=st.sampled_from(["Bridge", "Meter"]))
    def instrument(self, one: Laptop, name: str) -> None:
        one.instrument("i1", name)

    @rule(one=laptops)
    def no_instrument(self, one: Laptop) -> None:
        one.without_instrument("i1")

    @rule(one=laptops)
    def set_more(self, one: Laptop) -> None:
        one.add_position("S2")

    @rule(one=laptops)
    def set_out(self, one: Laptop) -> None:
        one.without_position("S2")

    @rule(one=laptops)
    def key_on_it(self, one: Laptop) -> None:
        if len(one.job.positions) > 1:
            self.keyed.add(one.key("a", "7", core_id="k-S2").reading_id)

    @rule(one=laptops)
    def remark(self, one: Laptop) -> None:
        one.remark("looked at")

    @rule(one=laptops, kept=st.integers(0, 2))
    def answer(self, one: Laptop, kept: int) -> None:
        one.answer(kept)

    @rule(one=laptops, other=laptops)
    def take(self, one: Laptop, other: Laptop) -> None:
        if one is not other:
            one.take(other)

    @invariant()
    def it_does_not_depend_on_the_order(self) -> None:
        forms = [laptop.form for laptop in self.all[-3:]]
        if len(forms) < 3:
            return
        a, b, c = forms
        left, right = united(united(a, b), c), united(a, united(b, c))
        assert left == right == united(united(c, b), a)
        assert united(left, b) == left

    @invariant()
    def no_reading_is_lost_or_invented(self) -> None:
        if self.all:
            together = self.all[0].form
            for laptop in self.all[1:]:
                together = united(together, laptop.form)
            ids = [one.reading_id for one in together.job.readings]
            assert sorted(ids) == sorted(self.keyed)


Laptops.TestCase.settings = settings(max_examples=60, stateful_step_count=25, deadline=None)
TestLaptops = Laptops.TestCase
