"""The order of verdicts."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from ctcore.findings import VERDICTS, Finding, worst, worst_first

ORDER = ["outside", "refer", "not tested", "within", "not applicable"]


def finding(verdict: Any) -> Finding:
    return Finding("c1", "judgement", None, None, None, verdict, "", "r")


def test_there_are_five_verdicts() -> None:
    assert sorted(VERDICTS) == sorted(ORDER)


@pytest.mark.parametrize(("worse", "better"), list(pairwise(ORDER)))
def test_a_whole_shows_the_worst_of_its_parts(worse: Any, better: Any) -> None:
    assert worst([better, worse, better]) == worse


def test_nothing_judged_is_not_tested() -> None:
    assert worst([]) == "not tested"


def test_findings_are_ordered_worst_first_and_equal_ones_keep_their_order() -> None:
    first, second = finding("within"), finding("within")

    ordered = worst_first([first, finding("refer"), second, finding("outside")])

    assert [entry.verdict for entry in ordered] == ["outside", "refer", "within", "within"]
    assert ordered[2] is first
