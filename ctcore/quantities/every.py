"""Quantities that every test has."""

from __future__ import annotations

from typing import Final

from ctcore.quantities.row import Quantity

# fmt: off
EVERY: Final[tuple[Quantity, ...]] = (
    Quantity(quantity_id="retest_reason_text", name="reason of the retest", heading="Taken again because",
             kind="text", help_text="Why the test was taken again; the earlier result stays beside it."),
    Quantity(quantity_id="judgement", name="test", heading="Test", kind="text",
             help_text="Stands for a test as a whole, where nothing in it could be judged."),
)
# fmt: on
