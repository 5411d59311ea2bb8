"""Words in the language that is spoken: by id from a table per language, English where one is missing.

The screen speaks the language of the settings, the sheet that of its job. What a record keeps stays as it was
said.
"""

from __future__ import annotations

from app.words.language import language, speak, speaking
from app.words.rows import procedure_in_words, quantity_in_words
from app.words.spoken import caution, said, text, told
from app.words.tables import LANGUAGES

__all__ = [
    "LANGUAGES",
    "caution",
    "language",
    "procedure_in_words",
    "quantity_in_words",
    "said",
    "speak",
    "speaking",
    "text",
    "told",
]
