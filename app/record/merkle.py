"""A tree of digests over everything that was filed, in order: one root shows that nothing before it changed.

Source: RFC 9162 (Certificate Transparency 2.0), clause 2.1: leaf SHA-256(0x00 || entry), node
SHA-256(0x01 || left || right), split at the largest power of two below the number of leaves.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

EMPTY_ROOT: Final = hashlib.sha256(b"").hexdigest()


def leaf(entry: bytes) -> bytes:
    """The leaf of one entry.

    >>> leaf(b"").hex()[:16]
    '6e340b9cffb37a98'
    """
    return hashlib.sha256(b"\x00" + entry).digest()


@dataclass(frozen=True, slots=True)
class Tree:
    """What has to be kept of a tree to go on: the roots of its full parts, the largest first.

    >>> Tree().grown(b"a").grown(b"b").size
    2
    """

    size: int = 0
    parts: tuple[bytes, ...] = ()

    def grown(self, entry: bytes) -> Tree:
        """With one more entry behind the last."""
        parts, added, left = list(self.parts), leaf(entry), self.size
        while left & 1:
            added = _node(parts.pop(), added)
            left >>= 1
        return Tree(self.size + 1, (*parts, added))

    @property
    def root(self) -> str:
        """The root in 64 small hexadecimal digits."""
        if not self.parts:
            return EMPTY_ROOT
        *rest, whole = self.parts
        for part in reversed(rest):
            whole = _node(part, whole)
        return whole.hex()


def tree_of(entries: Iterable[bytes]) -> Tree:
    """The tree of these entries in this order."""
    tree = Tree()
    for entry in entries:
        tree = tree.grown(entry)
    return tree


def consistency(leaves: Sequence[bytes], old_size: int) -> tuple[bytes, ...]:
    """What shows that a tree of these leaves begins with the tree that had `old_size` of them.

    `leaves` are those that `leaf` gives; 0 <= old_size <= len(leaves).
    """
    if old_size in (0, len(leaves)):
        return ()
    return _subproof(leaves, old_size, whole=True)


def is_consistent(old_size: int, old_root: str, new_size: int, new_root: str, proof: Sequence[bytes]) -> bool:
    """Whether the proof shows that the tree with the new root begins with the tree of the old one.

    An empty tree is the beginning of every tree.
    """
    if old_size > new_size or old_size < 0:
        return False
    if old_size == new_size:
        return old_root == new_root and not proof
    if old_size == 0:
        return old_root == EMPTY_ROOT and not proof
    path = list(proof)
    if old_size & (old_size - 1) == 0:
        path.insert(0, bytes.fromhex(old_root))
    if not path:
        return False
    return _climbed(old_size - 1, new_size - 1, path) == (old_root, new_root)


def _climbed(first: int, last: int, path: Sequence[bytes]) -> tuple[str, str] | None:
    """Both roots as the proof makes them (RFC 9162, clause 2.1.4.2); None where it has another length."""
    while first & 1:
        first, last = first >> 1, last >> 1
    old = new = path[0]
    for step in path[1:]:
        if last == 0:
            return None
        if first & 1 or first == last:
            old, new = _node(step, old), _node(step, new)
            while first and not first & 1:
                first, last = first >> 1, last >> 1
        else:
            new = _node(new, step)
        first, last = first >> 1, last >> 1
    return (old.hex(), new.hex()) if last == 0 else None


def _subproof(leaves: Sequence[bytes], old_size: int, *, whole: bool) -> tuple[bytes, ...]:
    if old_size == len(leaves):
        return () if whole else (_root(leaves),)
    split = _split(len(leaves))
    if old_size <= split:
        return (*_subproof(leaves[:split], old_size, whole=whole), _root(leaves[split:]))
    return (*_subproof(leaves[split:], old_size - split, whole=False), _root(leaves[:split]))


def _root(leaves: Sequence[bytes]) -> bytes:
    if len(leaves) == 1:
        return leaves[0]
    split = _split(len(leaves))
    return _node(_root(leaves[:split]), _root(leaves[split:]))


def _split(count: int) -> int:
    return 1 << ((count - 1).bit_length() - 1)


def _node(left: bytes, right: bytes) -> bytes:
    return hashlib.sha256(b"\x01" + left + right).digest()
