"""With how many digits a value of a quantity is shown: one rule for screen, findings and sheet."""

from __future__ import annotations

from typing import Final

from ctcore import figures
from ctcore.quantities import Quantity

# Practice: four digits tell a reading and its limit apart; common practice, no source.
SIGNIFICANT_COUNT: Final = 4


def text(value: float | None, row: Quantity) -> str:
    """A value in the trade unit of its quantity, without the unit; signed where the quantity is.

    Rule: the decimals of the quantity where it names them, else four significant digits.
    Result: text; an en dash for None. Raises BadInput where the value is not finite.

    >>> from ctcore.quantities import quantity
    >>> text(0.0309, quantity("i_excitation_a")), text(0.05, quantity("ratio_error_percent"))
    ('30.90', '+0.05')
    """
    show = figures.signed if row.signed else figures.text
    if row.decimals is not None:
        return show(value, row.unit or "1", decimals=row.decimals)
    return show(value, row.unit or "1", significant=SIGNIFICANT_COUNT)


def with_unit(value: float | None, row: Quantity) -> str:
    """As `text`, with the unit behind it.

    >>> from ctcore.quantities import quantity
    >>> with_unit(12.0, quantity("phase_displacement_arcmin")), with_unit(None, quantity("v_highest_v"))
    ('+12.0′', '–')
    """
    figure = text(value, row)
    return figure if value is None else figure + figures.tail(row.unit or "1")
