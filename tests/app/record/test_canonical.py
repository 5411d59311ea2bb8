from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.record.canonical import (
    canonical,
    canonical_unfractioned,
    digest,
    digest_groups,
    parse,
    parse_canonical,
)
from ctcore.errors import BadInput

# Source: RFC 8785, section 3.2.2 (the example input and its canonical form).
RFC_8785_INPUT = (
    rb'{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],'
    rb'"string": "\u20ac$\u000F\u000aA'
    + rb"'"
    + rb'\u0042\u0022\u005c\\\"\/","literals": [null, true, false]}'
)
RFC_8785_OUTPUT = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    '"string":"€$\\u000f\\nA' + "'" + 'B\\"\\\\\\\\\\"/"}'
).encode()


def test_the_example_of_rfc_8785_comes_out_byte_for_byte() -> None:
    assert canonical(parse(RFC_8785_INPUT, where="example")) == RFC_8785_OUTPUT


def test_names_are_sorted_by_utf_16_units_as_rfc_8785_section_3_2_3_shows() -> None:
    names = ["€", "\r", "\ufb33", "1", "\U0001f600", "\x80", "ö"]
    wanted = ["\r", "1", "\x80", "ö", "€", "\U0001f600", "\ufb33"]
    assert list(parse(canonical(dict.fromkeys(names, 0)), where="names")) == wanted


PLAIN_TEXT = st.text(st.characters(exclude_categories=["Cs"]))
ASCII_NAME = st.text(st.characters(max_codepoint=127))
UNFRACTIONED = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | PLAIN_TEXT,
    lambda inner: st.lists(inner) | st.dictionaries(ASCII_NAME, inner),
    max_leaves=20,
)


@given(UNFRACTIONED)
def test_the_fast_spelling_is_the_canonical_one(structure: object) -> None:
    assert canonical_unfractioned(structure) == canonical(structure)


def test_half_a_character_is_refused_by_the_fast_spelling_too() -> None:
    with pytest.raises(BadInput, match="no canonical form"):
        canonical_unfractioned(["\ud800"])


def test_the_digest_is_that_of_fips_180_4_for_abc() -> None:
    assert digest(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_digest_groups_hold_four_digits_each() -> None:
    assert digest_groups("9a73fd9d") == "9a73 fd9d"


@pytest.mark.parametrize("number", [float("nan"), float("inf"), 2**53 + 1])
def test_numbers_without_a_canonical_form_are_refused(number: float) -> None:
    with pytest.raises(BadInput, match="no canonical form"):
        canonical({"value": number})


def test_half_a_character_is_refused() -> None:
    with pytest.raises(BadInput, match="no canonical form"):
        canonical({"value": "\ud800"})


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b'{"a":1,"a":1}', "stands twice"),
        (b'{"a":NaN}', "not a number"),
        (b'{"a":-Infinity}', "not a number"),
        (b'{"a":1', "not complete JSON"),
        (b'\xef\xbb\xbf{"a":1}', "not complete JSON"),
        (b'{"a":"\xff"}', "not UTF-8"),
        (b"[" * 5000 + b"]" * 5000, "too deep"),
        (b"[" * 80 + b"]" * 80, "too deep"),
    ],
)
def test_json_that_could_be_read_two_ways_is_refused(data: bytes, reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        parse(data, where="file")


@pytest.mark.parametrize(
    "data", [b'{"a": 1}', b'{"b":1,"a":1}', b'{"a":1.0}', b'{"a":"\\u0041"}', b'{"a":1}\n']
)
def test_another_spelling_of_the_same_content_is_refused(data: bytes) -> None:
    with pytest.raises(BadInput, match="one canonical form"):
        parse_canonical(data, where="record")
