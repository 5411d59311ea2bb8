"""The words of the screen by id, from one table per language."""

from __future__ import annotations

import functools
import json
from importlib.resources import files
from typing import Final

LANGUAGE: Final = "en"


@functools.cache
def table(language: str = LANGUAGE) -> dict[str, str]:
    """Every text of a language by its id."""
    found: dict[str, str] = json.loads((files("resources") / "texts" / f"{language}.json").read_text("utf-8"))
    return found


def text(text_id: str, **values: object) -> str:
    """The text of that id with its places filled.

    >>> text("rows.keep_next")
    'Keep, next row'
    """
    words = table()[text_id]
    return words.format(**values) if values else words
