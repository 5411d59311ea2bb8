"""The tree over what was filed, held against the published examples of Certificate Transparency."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.record.merkle import EMPTY_ROOT, Tree, consistency, is_consistent, leaf, tree_of

# Source: the eight entries and the roots used by the reference code of RFC 6962; from memory.
ENTRIES = tuple(
    bytes.fromhex(text)
    for text in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
)
ROOTS = {
    0: "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    1: "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    8: "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
}


@pytest.mark.parametrize("size", ROOTS)
def test_the_root_is_the_published_one(size: int) -> None:
    assert tree_of(ENTRIES[:size]).root == ROOTS[size]


def test_an_empty_tree_has_the_digest_of_nothing() -> None:
    assert Tree().root == EMPTY_ROOT


@given(st.lists(st.binary(max_size=8), max_size=40), st.data())
def test_a_longer_tree_shows_that_it_begins_with_the_shorter(
    entries: list[bytes], data: st.DataObject
) -> None:
    old = data.draw(st.integers(0, len(entries)))
    proof = consistency([leaf(entry) for entry in entries], old)
    assert is_consistent(old, tree_of(entries[:old]).root, len(entries), tree_of(entries).root, proof)


@given(st.lists(st.binary(max_size=8), min_size=2, max_size=40), st.data())
def test_an_entry_changed_before_the_old_end_is_seen(entries: list[bytes], data: st.DataObject) -> None:
    old = data.draw(st.integers(1, len(entries)))
    place = data.draw(st.integers(0, old - 1))
    changed = [*entries]
    changed[place] += b"!"
    proof = consistency([leaf(entry) for entry in changed], old)
    assert not is_consistent(old, tree_of(entries[:old]).root, len(changed), tree_of(changed).root, proof)


def test_a_proof_with_a_step_more_or_less_is_refused() -> None:
    proof = consistency([leaf(entry) for entry in ENTRIES], 3)
    old, new = tree_of(ENTRIES[:3]).root, tree_of(ENTRIES).root
    assert is_consistent(3, old, 8, new, proof)
    assert not is_consistent(3, old, 8, new, proof[:-1])
    assert not is_consistent(3, old, 8, new, (*proof, proof[0]))
    assert not is_consistent(3, old, 8, new, ())


def test_a_tree_that_shrank_is_refused() -> None:
    assert not is_consistent(8, ROOTS[8], 1, ROOTS[1], ())
