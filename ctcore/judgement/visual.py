"""Visual inspection: each line as it was seen, earths and links as they were counted."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from ctcore.findings import Finding, Verdict
from ctcore.judgement.cells import Trouble, choice, number
from ctcore.judgement.limit import shown
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.standards.proof import CHECK
from ctcore.takes import Take

ROWS: Final = (
    FixedRow(row="plate", words="Plate read, as on drawing and certificate"),
    FixedRow(row="damage", words="Housing, terminals and cable undamaged"),
    FixedRow(row="direction", words="P1 and S1 where the drawing has them"),
    FixedRow(row="shorting", words="Shorting links make contact"),
    FixedRow(row="unused", words="Unused cores shorted, unused taps open"),
)
# Practice: one earth for each circuit; IEEE C57.13.3-2014 (from memory).
ONE_EARTH: Final = 1.0
_EARTH_SOURCE: Final = "IEEE C57.13.3-2014: one earth for each secondary circuit"


def derive(_scene: Scene, _take: Take) -> list[Derived]:
    """Nothing is derived from what was seen."""
    return []


def judge(scene: Scene, take: Take) -> list[Finding]:
    """One finding for each line, one for the earths and one for the links."""
    lines = [_line(Spot(scene, take, fixed.row), fixed) for fixed in ROWS]
    return [
        *lines,
        earths(Spot(scene, take), "earths_found_count", rule="visual.earths"),
        _links(scene, take),
    ]


def _line(spot: Spot, fixed: FixedRow) -> Finding:
    row = spot.take.row(fixed.row)
    answer = choice(row, "check_answer")
    if isinstance(answer, Trouble):
        found = troubled(spot, "check_answer", answer, rule="visual.line")
        return replace(found, text=f"{fixed.words}: {found.text}")
    verdicts: dict[str, Verdict] = {"yes": "within", "no": "outside", "not_applicable": "not applicable"}
    verdict = verdicts.get(answer, "refer")
    seen = row.cell("check_text").value_text or ""
    words = f"{fixed.words}: {'in order' if answer == 'yes' else answer.replace('_', ' ')}."
    text = f"{words} {seen}".strip()
    return told(spot, "check_answer", verdict, text, rule="visual.line", value=answer)


def earths(spot: Spot, quantity_id: str, *, rule: str) -> Finding:
    """Whether the counted secondary earths are exactly one, and as many as drawn."""
    counted = number(spot.take.method, quantity_id)
    if isinstance(counted, Trouble):
        return troubled(spot, quantity_id, counted, rule=rule)
    drawn = spot.take.method.cell("earths_drawn_count").number
    verdict: Verdict = "within" if counted.value == ONE_EARTH else "outside"
    text = f"Secondary earths counted: {shown(quantity_id, counted.value)}; there is to be one."
    if verdict == "within" and drawn is not None and drawn != ONE_EARTH:
        verdict = "refer"
        text = f"{text} The drawing has {shown('earths_drawn_count', drawn)}."
    text = f"{text} Limit from memory: {CHECK}."
    found = told(
        spot, quantity_id, verdict, text, rule=rule, value=counted.value, source=_EARTH_SOURCE,
        standing="from memory",
    )  # fmt: skip
    return replace(found, limit=ONE_EARTH)


def _links(scene: Scene, take: Take) -> Finding:
    spot, rule = Spot(scene, take), "visual.links"
    found, lifted = number(take.method, "links_found_count"), number(take.method, "links_lifted_count")
    for counted in (found, lifted):
        if isinstance(counted, Trouble):
            return troubled(spot, "links_lifted_count", counted, rule=rule)
    assert not isinstance(found, Trouble)
    assert not isinstance(lifted, Trouble)
    text = f"{shown('links_lifted_count', lifted.value)} of {shown('links_found_count', found.value)} lifted."
    verdict: Verdict = "within" if lifted.value == found.value else "refer"
    if lifted.value > found.value:
        text = f"{text} More were lifted than were found closed. Which count holds?"
    elif lifted.value < found.value:
        text = f"{text} What stays closed lies in parallel with the winding."
    return told(spot, "links_lifted_count", verdict, text, rule=rule, value=lifted.value, source="arithmetic",
                standing="arithmetic")  # fmt: skip
