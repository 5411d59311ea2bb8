"""Words in the language that is spoken: by id from a table per language, English where one is missing.

The screen speaks the language of the settings, the sheet that of its job. What a record keeps stays as it was
said.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from app.words.language import decimal_comma, language, speak, speaking
from app.words.spoken import caution, in_line, retold, said, text, told, verdict_word
from app.words.tables import LANGUAGES

if TYPE_CHECKING:
    from app.words.rows import (
        all_procedures,
        procedure,
        procedure_in_words,
        quantity,
        quantity_in_words,
    )

__all__ = [
    "LANGUAGES",
    "all_procedures",
    "caution",
    "decimal_comma",
    "in_line",
    "language",
    "procedure",
    "procedure_in_words",
    "quantity",
    "quantity_in_words",
    "retold",
    "said",
    "speak",
    "speaking",
    "text",
    "told",
    "verdict_word",
]


def __getattr__(name: str) -> Any:
    """Load the words of the core's rows when they are first asked for: the first paint has none of them."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from app.words import rows

    return getattr(rows, name)
