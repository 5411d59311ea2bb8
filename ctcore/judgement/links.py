"""Links and the earth of one core, terminal by terminal: as they were found and as they are left."""

from __future__ import annotations

import re
from typing import Final

from ctcore.findings import Finding, Verdict
from ctcore.job import Core
from ctcore.judgement.cells import Trouble, choice
from ctcore.judgement.plate import terminals_of
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.takes import Take

EARTH: Final = "earth"
FOUND, LEFT, WHY = "link_found", "link_left", "link_text"
# Practice: as found and as left agree, or it is said why not; common practice, no source.
_LINK: Final = "link "
_CUSTOM: Final = "common practice, no source"
_STATES: Final = {
    "closed": "closed",
    "open": "open",
    "shorted": "shorted at the transformer",
    "none": "not there",
}


def terminal_names(core: Core) -> tuple[str, ...]:
    """Every terminal that the plate of a core names, in the order along its winding.

    >>> from ctcore.job import Tap
    >>> taps = (("1S1-1S3", 600), ("1S1–1S2", 300))
    >>> cores = [Tap(tap_id=t, terminals_text=t, i_primary_rated_a=a, i_secondary_rated_a=1) for t, a in taps]
    >>> terminal_names(Core(core_id="c", number=1, class_text="", taps=tuple(cores)))
    ('1S1', '1S2', '1S3')
    """
    pairs = [ends for tap in core.taps if len(ends := terminals_of(tap)) == 2 and all(ends)]
    return tuple(sorted({name for ends in pairs for name in ends}, key=_natural))


def _natural(name: str) -> tuple[tuple[int, str], ...]:
    return tuple((int(part), "") if part.isdigit() else (-1, part) for part in re.findall(r"\d+|\D+", name))


def is_link(row: str) -> bool:
    """Whether a row is that of the link of a terminal, on this plate or as it was before."""
    return row.startswith(_LINK)


def rows_of(core: Core) -> tuple[FixedRow, ...]:
    """A row for the link of every terminal that the plate names, and one for the earth."""
    links = tuple(FixedRow(row=f"{_LINK}{name}", words=f"{name} link") for name in terminal_names(core))
    return (*links, FixedRow(row=EARTH, words="Secondary earth"))


def derive(_scene: Scene, _take: Take) -> list[Derived]:
    """Nothing is derived: what is counted stands among the findings."""
    return []


def judge(scene: Scene, take: Take) -> list[Finding]:
    """One finding for each link and the earth, one for the count, one for the place, one for the check."""
    lines = [_line(Spot(scene, take, fixed.row), fixed) for fixed in rows_of(scene.core)]
    spot = Spot(scene, take)
    known = {fixed.row for fixed in rows_of(scene.core)}
    strangers = [
        told(Spot(scene, take, row.row), LEFT, "refer", f"The plate names no terminal for “{row.row}”.",
             rule="links.stranger")
        for row in take.rows
        if row.row not in known
    ]  # fmt: skip
    return [*lines, *strangers, _count(spot), _place(spot), _checked(spot)]


def _line(spot: Spot, fixed: FixedRow) -> Finding:
    rule = "links.state"
    row = spot.take.row(fixed.row)
    found, left = choice(row, FOUND), choice(row, LEFT)
    for state, answer, when in ((FOUND, found, "as found"), (LEFT, left, "as left")):
        if isinstance(answer, Trouble):
            return told(spot, state, answer.verdict, f"{fixed.words}, {when}: {answer.text}", rule=rule)
    assert isinstance(found, str)
    assert isinstance(left, str)
    why = row.cell(WHY).value_text or ""
    text = f"{fixed.words}: {_STATES.get(found, found)} as found, {_STATES.get(left, left)} as left."
    verdict: Verdict = "within" if found == left else "refer" if why else "outside"
    if fixed.row == EARTH and left != "closed":
        # Safety: a circuit without its earth floats at the voltage of the line, whatever was found.
        verdict, why = "outside", f"{why} A circuit is not left without its earth.".strip()
    elif found != left:
        why = (
            why
            or "Say why they differ. A link left open destroys the core, a short left in blinds the relay."
        )
    return told(spot, LEFT, verdict, f"{text} {why}".strip(), rule=rule, value=left, source=_CUSTOM,
                standing=_CUSTOM)  # fmt: skip


def _count(spot: Spot) -> Finding:
    rule, quantity_id = "links.count", "links_left_closed_count"
    found, left = _closed(spot, FOUND), _closed(spot, LEFT)
    if found is None or left is None:
        text = "Links are counted once all are said as found and as left."
        return told(spot, quantity_id, "not tested", text, rule=rule)
    text = f"{found} closed as found, {left} closed as left."
    verdict: Verdict = "within" if found == left else "refer"
    if found != left:
        text = f"{text} The lines say which differ."
    return told(spot, quantity_id, verdict, text, rule=rule, value=float(left), source="arithmetic",
                standing="arithmetic")  # fmt: skip


def _closed(spot: Spot, state: str) -> int | None:
    """How many links are closed; None while one of them is not said."""
    rows = [fixed.row for fixed in rows_of(spot.scene.core) if fixed.row != EARTH]
    said = [choice(spot.take.row(row), state) for row in rows]
    return None if any(isinstance(one, Trouble) for one in said) else said.count("closed")


def _place(spot: Spot) -> Finding:
    """Where the earth is: drawn, found and left are one place, or it is looked into."""
    rule, quantity_id = "links.earth_place", "earth_left_text"
    named = {
        words: spot.take.method.cell(name).value_text or ""
        for words, name in (
            ("drawn", "earth_drawn_text"), ("found", "earth_place_text"), ("left", quantity_id),
        )
    }  # fmt: skip
    missing = [words for words, place in named.items() if not place]
    if missing:
        text = f"Place of the secondary earth: not said as {' and '.join(missing)}."
        return told(spot, quantity_id, "not tested", text, rule=rule)
    text = ", ".join(f"{words} at {place}" for words, place in named.items())
    same = len({" ".join(place.casefold().split()) for place in named.values()}) == 1
    verdict: Verdict = "within" if same else "refer"
    told_text = f"Secondary earth {text}."
    if not same:
        told_text = f"{told_text} Which place holds, and does the drawing follow?"
    return told(spot, quantity_id, verdict, told_text, rule=rule, value=named["left"], source=_CUSTOM,
                standing=_CUSTOM)  # fmt: skip


def _checked(spot: Spot) -> Finding:
    """Whether a second person looked at links and earth as they were left."""
    rule, quantity_id = "links.checked", "links_checked_text"
    cell = spot.take.method.cell(quantity_id)
    name = (cell.value_text or "").strip()
    reading = cell.current
    if not name or reading is None:
        missing = Trouble("not tested", "No second person has checked links and earth as left.")
        return troubled(spot, quantity_id, missing, rule=rule)
    mine = {
        person.name_text.casefold().strip()
        for person in spot.scene.job.people
        if person.person_id == reading.person_id
    }
    if name.casefold() in mine:
        text = f"Checked by {name}, who keyed it: a second person is wanted."
        return told(spot, quantity_id, "refer", text, rule=rule, value=name, source=_CUSTOM, standing=_CUSTOM)
    text = f"Links and earth as left checked by {name}."
    return told(spot, quantity_id, "within", text, rule=rule, value=name, source=_CUSTOM, standing=_CUSTOM)
