"""Strict building of frozen data from dictionaries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import pytest

from ctcore import plain
from ctcore.errors import BadInput


@dataclass(frozen=True, slots=True)
class Part:
    name_text: str
    length_m: float = 1.0
    count: int = 0
    confirmed: bool = False
    kind: Literal["a", "b"] = "a"
    note: str | None = None
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Whole:
    parts: tuple[Part, ...] = ()


def test_a_whole_number_is_taken_where_a_number_is_wanted() -> None:
    assert plain.build(Part, {"name_text": "x", "length_m": 2}, "part").length_m == 2.0


def test_none_is_taken_where_it_is_allowed() -> None:
    assert plain.build(Part, {"name_text": "x", "note": None}, "part").note is None


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ([], "a group of named values"),
        ({"name_text": 1}, "part.name_text: 1: text is wanted"),
        ({"name_text": "x", "length_m": "2"}, "a number is wanted"),
        ({"name_text": "x", "length_m": True}, "a number is wanted"),
        ({"name_text": "x", "length_m": float("nan")}, "finite"),
        ({"name_text": "x", "length_m": 10**400}, "finite"),
        ({"name_text": "x", "count": 1.5}, "a whole number is wanted"),
        ({"name_text": "x", "confirmed": 1}, "true or false is wanted"),
        ({"name_text": "x", "kind": "c"}, "one of a, b is wanted"),
        ({"name_text": "x", "kind": []}, "one of a, b is wanted"),
        ({"name_text": "x", "marks": "abc"}, "a list is wanted"),
        ({"name_text": "x", "marks": ["a", 2]}, r"part.marks\[1\]: 2: text is wanted"),
        ({}, "part.name_text: None: is missing"),
        ({"name_text": "x", "colour": "red"}, "part.colour: red: unknown name"),
    ],
)
def test_what_does_not_fit_is_refused_at_its_place(data: Any, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        plain.build(Part, data, "part")


def test_a_place_inside_a_list_is_named_by_its_number() -> None:
    with pytest.raises(BadInput, match=r"whole\.parts\[0\]\.name_text"):
        plain.build(Whole, {"parts": [{}]}, "whole")


def test_flattening_undoes_building() -> None:
    whole = plain.build(Whole, {"parts": [{"name_text": "x", "marks": ["a"]}]}, "whole")

    assert plain.build(Whole, plain.flatten(whole), "whole") == whole
