"""Sentences as the code writes them: every literal with words in it, its places in braces.

What is put together of parts is read part by part, and a text of several sentences sentence by sentence, as
`app.words.sentences` tells them.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from app.words.sentences import parted

PLACE: Final = "{}"
_WORDS: Final = re.compile(r"[^\W\d_]{3,}")
_PLACES: Final = re.compile(r"(?:\{[^{}]*\})+")
# A place that holds a sentence, and another sentence behind it.
_AFTER_PLACE: Final = re.compile(r"(?<=\})\s(?=[A-Z][a-z]+ )")
# What is raised for a programmer is not read on a screen.
_FOR_PROGRAMMERS: Final = (
    "TypeError", "ValueError", "KeyError", "AttributeError", "AssertionError", "RuntimeError",
    "NotImplementedError",
)  # fmt: skip


def written(path: Path) -> Iterator[tuple[int, str]]:
    """Line and sentence of every literal of a file that reads as words."""
    tree = ast.parse(path.read_text("utf-8"))
    apart = set(_apart(tree))
    for node in ast.walk(tree):
        if id(node) not in apart and (said := _said(node)) is not None:
            for sentence in parted(said):
                for part in _AFTER_PLACE.split(sentence):
                    shape = shape_of(part)
                    if _reads_as_words(shape.replace(PLACE, "")):
                        yield node.lineno, shape


def _reads_as_words(fixed: str) -> bool:
    """Words with a gap between them; an id, a path and a pattern have none or other signs."""
    return bool(_WORDS.search(fixed)) and " " in fixed and not any(sign in fixed for sign in "\\^|[]")


def shape_of(sentence: str) -> str:
    """A sentence with every place alike, and places that touch as one.

    >>> shape_of("Row {row}{more}: {reason}")
    'Row {}: {}'
    """
    return _PLACES.sub(PLACE, sentence.strip())


def _said(node: ast.AST) -> str | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) if isinstance(part, ast.Constant) else PLACE for part in node.values)
    return None


def _apart(tree: ast.AST) -> Iterator[int]:
    """Docstrings, the parts of a joined text, types, and what a programmer reads."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            yield id(node.value)
        elif isinstance(node, ast.JoinedStr):
            yield from (id(part) for part in node.values if isinstance(part, ast.Constant))
        elif isinstance(node, ast.Subscript) and ast.unparse(node.value) == "Literal":
            yield from (id(part) for part in ast.walk(node.slice))
        elif isinstance(node, ast.Call) and ast.unparse(node.func) in _FOR_PROGRAMMERS:
            yield from (id(part) for part in ast.walk(node))
