"""Label, help and answers of a preference in the language of the screen."""

from __future__ import annotations

from app.settings import ROWS, Setting
from app.words import told


def label_of(row: Setting) -> str:
    """What a preference is called."""
    return told(f"setting.{row.name}.label", row.label)


def help_of(row: Setting) -> str:
    """What it is for."""
    return told(f"setting.{row.name}.help", row.help_text)


def choices_of(row: Setting) -> tuple[tuple[str, str], ...]:
    """Its answers: the word that is kept and the words that are shown."""
    return tuple((value, told(f"setting.{row.name}.{value}", words)) for value, words in row.choices)


def choices_named(name: str) -> tuple[tuple[str, str], ...]:
    """The answers of the preference of that name; none where no preference is called that."""
    return next((choices_of(row) for row in ROWS if row.name == name), ())
