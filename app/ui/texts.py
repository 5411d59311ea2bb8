"""The words of the screen by id, in the language that is spoken."""

from __future__ import annotations

from collections.abc import Mapping

from app import words
from app.words import text
from app.words.tables import ENGLISH


def table(language: str = ENGLISH) -> Mapping[str, str]:
    """Every text of a language by its id."""
    return words.tables.table("texts", language)


__all__ = ["table", "text"]
