"""A row per quantity that is read or derived, in a file by subject."""

from __future__ import annotations

from typing import Final

from ctcore.quantities.circuit import CIRCUIT
from ctcore.quantities.duty import DUTY
from ctcore.quantities.every import EVERY
from ctcore.quantities.excitation import EXCITATION
from ctcore.quantities.insulating import INSULATING
from ctcore.quantities.ratio import RATIO
from ctcore.quantities.row import Choice, Kind, Quantity
from ctcore.quantities.winding import WINDING

QUANTITIES: Final[tuple[Quantity, ...]] = (
    *INSULATING,
    *WINDING,
    *RATIO,
    *EXCITATION,
    *CIRCUIT,
    *DUTY,
    *EVERY,
)

_BY_ID: Final = {row.quantity_id: row for row in QUANTITIES}


def quantity(quantity_id: str) -> Quantity:
    """The row of that id.

    >>> quantity("r_winding_75degc_ohm").heading
    'At 75 °C'
    """
    return _BY_ID[quantity_id]


__all__ = ["QUANTITIES", "Choice", "Kind", "Quantity", "quantity"]
