"""Texts in the language that is spoken, with their places filled."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Final

from app.words.language import decimal_comma, language
from app.words.tables import ENGLISH, ONE, PSEUDO, Subject, marked, table

# What was asked for and is not in the language, so that English was told; how often.
missed: Final[Counter[tuple[str, str, str]]] = Counter()


def text(text_id: str, **values: object) -> str:
    """The text of the screen of that id with its places filled.

    >>> text("rows.keep_next")
    'Keep, next row'
    """
    spoken = language()
    words = _form(table("texts", spoken), text_id, values)
    if words is None:
        missed["texts", spoken, text_id] += 1
        words = table("texts", ENGLISH)[text_id]
    return words.format(**values) if values else words


def retold(english: str) -> str:
    """A sentence or several, made in English, in the language that is spoken.

    >>> retold("Polarity agrees with the marking.")
    'Polarity agrees with the marking.'
    """
    spoken, comma = language(), decimal_comma()
    if not english or (spoken == ENGLISH and not comma):
        return english
    # The templates bring rows of the core along, of which the first paint has none.
    from app.words import sentences

    return sentences.retold_in(english, spoken, comma)


def caution(caution_id: str, part: str) -> str:
    """One part of a caution, its figures still to be filled in: "hazard", "can_do", "so" or "text"."""
    text_id, spoken = f"{caution_id}.{part}", language()
    words = table("cautions", spoken).get(text_id)
    if words is None:
        missed["cautions", spoken, text_id] += 1
        words = table("cautions", ENGLISH)[text_id]
    return words


def told(text_id: str, english: str) -> str:
    """The words of a row of the code in the language that is spoken; its own English where there are none."""
    return _instead("rows", text_id, english, {})


def in_line(name: str) -> str:
    """A name of a row as it stands within a sentence: small in English, as it is where nouns are capital."""
    return name.lower() if language() == ENGLISH else name


def said(english: str, **values: object) -> str:
    """Fixed wording of the sheet with its places filled; the English words are its id.

    >>> said("page {page} of {all}", page=2, all=9)
    'page 2 of 9'
    """
    words = _instead("sheet", english, english, values)
    return words.format(**values) if values else words


def _instead(subject: Subject, text_id: str, english: str, values: dict[str, object]) -> str:
    spoken = language()
    if spoken == ENGLISH or not english:
        return english
    if spoken == PSEUDO:
        return marked(english)
    words = _form(table(subject, spoken), text_id, values)
    if words is None:
        missed[subject, spoken, text_id] += 1
        return english
    return words


def _form(words: Mapping[str, str], text_id: str, values: dict[str, object]) -> str | None:
    """The form of one where one thing is counted and the language has it, else the form of several."""
    one = words.get(text_id + ONE) if str(values.get("count", "")) == "1" else None
    return one if one is not None else words.get(text_id)


def verdict_word(verdict: str) -> str:
    """The word of a verdict, or of what is being keyed."""
    return told(f"verdict.{verdict}", verdict)
