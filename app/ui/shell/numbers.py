"""Numbers of forms: text to base unit and back, with the reason where a text gives none."""

from __future__ import annotations

from app.settings import Settings
from app.ui.texts import text
from app.words import retold
from ctcore import entry
from ctcore.errors import BadInput
from ctcore.nameplate import plain_number

_SCALES = {"kV": 1e3, "Mohm": 1e6, "mA": 1e-3}


def read(words: str, unit: str, settings: Settings) -> tuple[float | None, str]:
    """The number in the base unit, or None with the reason; an empty text is None without one."""
    if not words.strip():
        return None, ""
    try:
        found = entry.parse(words, unit, decimal_comma=settings.decimal_comma())
    except BadInput as problem:
        said = retold(problem.reason)
        return None, f"{said[:1].upper()}{said[1:]}."
    if found.over_range or found.under_range:
        return None, text("number.plain_wanted")
    return found.value, ""


def shown(value: float | None, unit: str, settings: Settings) -> str:
    """A number of the job in the unit of its field, with the decimal mark that is keyed here."""
    if value is None:
        return ""
    digits = plain_number(float(f"{value / _SCALES.get(unit, 1.0):.12g}"))
    return digits.replace(".", ",") if settings.decimal_comma() else digits
