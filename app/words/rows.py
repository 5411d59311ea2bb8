"""Rows of the core in the language that is spoken; the core itself knows English words and ids."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final

from app.words.language import language
from app.words.spoken import told
from app.words.tables import ENGLISH
from ctcore import procedures, quantities
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES
from ctcore.quantities import QUANTITIES, Quantity

_QUANTITY_WORDS: Final = ("name", "heading", "help_text", "formula_text", "source_text")
_PROCEDURE_WORDS: Final = ("name", "short_name", "rows_heading")


def quantity_in_words(row: Quantity) -> Quantity:
    """A quantity with its name, heading, help and answers in the language that is spoken."""
    return row if language() == ENGLISH else _quantity(row, language())


def procedure_in_words(row: Procedure) -> Procedure:
    """A test with its names and its fixed rows in the language that is spoken."""
    return row if language() == ENGLISH else _procedure(row, language())


def quantity(quantity_id: str) -> Quantity:
    """The quantity of that id in the language that is spoken. Raises KeyError where there is none."""
    return quantity_in_words(quantities.quantity(quantity_id))


def procedure(procedure_id: str) -> Procedure:
    """The test of that id in the language that is spoken. Raises KeyError where there is none."""
    return procedure_in_words(procedures.procedure(procedure_id))


def all_procedures() -> tuple[Procedure, ...]:
    """Every test in the language that is spoken."""
    return tuple(procedure_in_words(row) for row in PROCEDURES)


@functools.lru_cache(maxsize=1024)
def _quantity(row: Quantity, _language: str) -> Quantity:
    words: dict[str, Any] = {
        part: told(f"quantity.{row.quantity_id}.{part}", getattr(row, part)) for part in _QUANTITY_WORDS
    }
    answers = tuple(
        replace(one, words=told(f"choice.{row.quantity_id}.{one.value}", one.words)) for one in row.choices
    )
    return replace(row, choices=answers, **words)


@functools.lru_cache(maxsize=64)
def _procedure(row: Procedure, _language: str) -> Procedure:
    words: dict[str, Any] = {
        part: told(f"test.{row.procedure_id}.{part}", getattr(row, part)) for part in _PROCEDURE_WORDS
    }
    rows = tuple(
        replace(one, words=told(f"row.{row.procedure_id}.{one.row}", one.words)) for one in row.fixed_rows
    )
    return replace(row, fixed_rows=rows, **words)


def english_words() -> Iterator[tuple[str, str]]:
    """Id and English words of everything of the core that is told in another language."""
    for row in QUANTITIES:
        yield from ((f"quantity.{row.quantity_id}.{part}", getattr(row, part)) for part in _QUANTITY_WORDS)
        yield from ((f"choice.{row.quantity_id}.{one.value}", one.words) for one in row.choices)
    for test in PROCEDURES:
        yield from ((f"test.{test.procedure_id}.{part}", getattr(test, part)) for part in _PROCEDURE_WORDS)
        yield from ((f"row.{test.procedure_id}.{one.row}", one.words) for one in test.fixed_rows)


def english_names() -> Iterator[tuple[str, str]]:
    """English and told name of every quantity, test, row and answer: the names that sentences hold."""
    for text_id, english in english_words():
        subject, *_, part = text_id.split(".")
        if english and (subject in ("choice", "row") or part in ("name", "short_name")):
            yield english, told(text_id, english)
