"""Decision rules: edges, both sides, what is missing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ctcore.decision import RULES, decide
from ctcore.errors import BadInput

VALUES = st.floats(-1e6, 1e6)


@pytest.mark.parametrize(
    ("value", "verdict"), [(-1.0, "within"), (1.0, "within"), (-1.001, "outside"), (1.001, "outside")]
)
def test_on_the_limit_is_within_by_simple_acceptance(value: float, verdict: str) -> None:
    assert decide(value, -1.0, 1.0, None, "simple").verdict == verdict


@pytest.mark.parametrize(
    ("value", "verdict"), [(0.9, "within"), (-0.9, "within"), (0.901, "outside"), (-0.901, "outside")]
)
def test_the_guard_band_is_as_wide_as_the_expanded_uncertainty(value: float, verdict: str) -> None:
    assert decide(value, -1.0, 1.0, 0.1, "guard_band").verdict == verdict


@pytest.mark.parametrize(
    ("value", "condition", "verdict"),
    [
        (0.9, "pass", "within"),
        (0.95, "conditional pass", "refer"),
        (1.0, "conditional pass", "refer"),
        (1.1, "conditional fail", "refer"),
        (1.11, "fail", "outside"),
        (-1.05, "conditional fail", "refer"),
    ],
)
def test_the_four_way_rule_refers_both_conditional_results(
    value: float, condition: str, verdict: str
) -> None:
    decision = decide(value, -1.0, 1.0, 0.1, "four_way")
    assert (decision.condition, decision.verdict) == (condition, verdict)


@pytest.mark.parametrize("value", [0.0, 5.0])
def test_an_empty_acceptance_zone_refers(value: float) -> None:
    assert decide(value, -0.1, 0.1, 0.2, "guard_band").verdict == "refer"


def test_a_value_typed_on_the_acceptance_limit_is_within() -> None:
    assert decide(0.1, None, 1.0, 0.9, "guard_band").verdict == "within"


@pytest.mark.parametrize("rule", ["guard_band", "four_way"])
def test_without_uncertainty_the_guarded_rules_refer(rule: str) -> None:
    decision = decide(0.0, -1.0, 1.0, None, rule)
    assert (decision.verdict, decision.probability_of_conformance) == ("refer", None)


def test_without_uncertainty_simple_acceptance_still_decides() -> None:
    decision = decide(0.0, None, 1.0)
    assert (decision.verdict, decision.probability_of_conformance) == ("within", None)


@pytest.mark.parametrize(("value", "probability"), [(1.0, 1.0), (1.1, 0.0)])
def test_an_exact_value_conforms_or_does_not(value: float, probability: float) -> None:
    assert decide(value, None, 1.0, 0.0).probability_of_conformance == probability


def test_half_of_the_values_on_a_single_limit_conform() -> None:
    assert decide(1.0, 1.0, None, 0.1).probability_of_conformance == pytest.approx(0.5)


@given(VALUES, VALUES, st.floats(0.0, 1e6), st.sampled_from(RULES))
def test_a_guarded_pass_is_a_simple_pass(value: float, limit: float, u_expanded: float, rule: str) -> None:
    guarded = decide(value, None, limit, u_expanded, rule)
    simple = decide(value, None, limit, u_expanded, "simple")
    assert (guarded.verdict, simple.verdict) != ("within", "outside")
    assert 0.0 <= guarded.probability_of_conformance <= 1.0


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((float("nan"), 0.0, 1.0), "value"),
        ((0.0, None, None), "at least one limit"),
        ((0.0, 1.0, 0.0), "above the upper limit"),
        ((0.0, 0.0, 1.0, -0.1), "expanded uncertainty"),
        ((0.0, 0.0, 1.0, 0.1, "generous"), "generous"),
        ((0.0, float("inf"), None), "lower limit"),
    ],
)
def test_impossible_questions_are_refused(arguments: tuple[object, ...], reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        decide(*arguments)
