"""Where a finding stands, and how one is made without a comparison."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from ctcore.findings import Finding, Standing, Verdict
from ctcore.judgement.cells import Trouble, unit_of
from ctcore.procedure import Scene
from ctcore.takes import Take


@dataclass(frozen=True, slots=True)
class Spot:
    """One row of one take of one core; `tap_id` where the row itself is no tap."""

    scene: Scene
    take: Take
    row: str = ""
    tap_id: str = ""

    @property
    def label(self) -> str:
        """The terminals of the row where the core has several pairs, with a colon; else nothing."""
        tap = self.scene.core.tap(self.tap_id or self.row)
        return f"{tap.terminals_text}: " if tap and len(self.scene.core.taps) > 1 else ""


def told(
    spot: Spot,
    quantity_id: str,
    verdict: Verdict,
    text: str,
    *,
    rule: str,
    value: float | str | None = None,
    source: str = "",
    standing: Standing = "plate",
    u_expanded: float | None = None,
    reason: str | None = None,
) -> Finding:
    """A finding that compares nothing: words, and the value where there is one.

    `reason` is the text without its figures, where it has any.
    """
    return Finding(
        core=spot.scene.core.core_id,
        quantity=quantity_id,
        value=None if isinstance(value, float) and not isfinite(value) else value,
        limit=None,
        margin=None,
        verdict=verdict,
        source=source,
        rule=rule,
        procedure=spot.take.procedure_id,
        row=spot.row,
        take=spot.take.take,
        unit=unit_of(quantity_id),
        u_expanded=u_expanded,
        limit_standing=standing,
        text=spot.label + text,
        reason=text if reason is None else reason,
    )


def troubled(spot: Spot, quantity_id: str, trouble: Trouble, *, rule: str) -> Finding:
    """The finding for a value that cannot be judged."""
    return told(spot, quantity_id, trouble.verdict, trouble.text, rule=rule)
