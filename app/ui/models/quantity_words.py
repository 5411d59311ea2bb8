"""All that a row of the core knows of a quantity, in words for the screen."""

from __future__ import annotations

from app.ui.texts import text
from app.words import figures
from ctcore.quantities import Quantity


def name_of(row: Quantity) -> str:
    """A quantity's name with its unit."""
    unit = figures.symbol(row.unit) if row.unit else ""
    return f"{row.name[:1].upper()}{row.name[1:]}" + (f", {unit}" if unit else "")


def words_of(row: Quantity) -> str:
    """What a quantity means, how it is computed or what it goes into, and where that is from."""
    parts = [
        row.help_text,
        text("help.formula", formula=row.formula_text) if row.formula_text else "",
        text("help.source", source=row.source_text) if row.source_text else "",
    ]
    return " ".join(part for part in parts if part)
