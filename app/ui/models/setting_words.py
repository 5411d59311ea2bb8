"""Label, help and answers of a preference in the language of the screen."""

from __future__ import annotations

from typing import Final

from app.settings import ROWS, Setting
from app.words import told

_FIRST_VALUE_FROM: Final = {"sheet_decimal_mark": "decimal_mark"}


def label_of(row: Setting) -> str:
    """What a preference is called."""
    return told(f"setting.{row.name}.label", row.label)


def help_of(row: Setting) -> str:
    """What it is for."""
    return told(f"setting.{row.name}.help", row.help_text)


def choices_of(row: Setting) -> tuple[tuple[str, str], ...]:
    """Its answers: the word that is kept and the words that are shown."""
    return tuple((value, told(f"setting.{row.name}.{value}", words)) for value, words in row.choices)


def answers_of(name: str, choices: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """The answers of a field of a job; where a preference gives it its first value, in the words of that."""
    row_name = _FIRST_VALUE_FROM.get(name, name)
    own = dict(next((choices_of(row) for row in ROWS if row.name == row_name), ()))
    return tuple((value, own.get(value, words)) for value, words in choices)
