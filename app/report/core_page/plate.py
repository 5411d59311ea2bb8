"""The plate of a set: what its transformers have in common once, what differs by phase."""

from __future__ import annotations

from collections.abc import Callable

from app.report.blocks import Block, Stack, words
from app.report.core_page.lines import alike
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow
from app.report.outline import CoreSet, Member
from app.report.wording import tap_words
from app.words import figures, said

_FIELDS: tuple[tuple[str, Callable[[Member], str]], ...] = (
    ("Serial", lambda member: member.ct.serial_text or said("not stated")),
    ("Maker, type, year", lambda member: ", ".join(
        part for part in (member.ct.maker_text, member.ct.type_text, member.ct.year_text) if part
    ) or said("not stated")),
    ("Um", lambda member: "" if member.ct.um_kv is None else f"{figures.text(member.ct.um_kv, '1')} kV"),
    ("Insulation", lambda member: member.ct.insulation),
    ("Class", lambda member: member.core.class_text or said("not stated")),
    ("Class holds for", lambda member: said("every tap") if member.core.class_on_every_tap else ""),
    ("Taps", lambda member: ", ".join(tap_words(tap) for tap in member.core.taps) or said("not stated")),
    ("Turns", lambda member: _turns(member)),
    ("Tap in service", lambda member: _service(member)),
    ("Rct at 75 °C on plate", lambda member: (
        "" if member.core.r_winding_75degc_plate_ohm is None
        else figures.with_unit(member.core.r_winding_75degc_plate_ohm, "ohm")
    )),
    ("Conductor", lambda member: "" if member.core.conductor == "copper" else member.core.conductor),
    ("Low leakage", lambda member: (
        "" if member.core.low_leakage is None else said("yes") if member.core.low_leakage else said("no")
    )),
    ("Duty", lambda member: member.core.duty_text),
    ("Plate read", lambda member: said("on site" if member.ct.plate_confirmed else "not confirmed on site")),
    ("Note", lambda member: member.core.remark_text),
)  # fmt: skip


def plate(core_set: CoreSet) -> list[Block]:
    """Fields in three columns, label above value."""
    labels = [member.label for member in core_set.members]
    pairs = [(said("P1 faces"), core_set.position.p1_faces_text)] if core_set.position.p1_faces_text else []
    for title, told in _FIELDS:
        values = [told(member) for member in core_set.members]
        if any(values):
            pairs.append((said(title), alike(labels, [value or said("not stated") for value in values])))
    if core_set.absent:
        pairs.append((said("No transformer entered for"), ", ".join(core_set.absent)))
    rows = []
    for start in range(0, len(pairs), 3):
        cells = [_field(label, value) for label, value in pairs[start : start + 3]]
        cells += [words("", size=1.0)] * (3 - len(cells))
        rows.append(GridRow(tuple(cells), rule=0.0))
    return [Grid((Column(share=0.34), Column(share=0.33), Column(share=0.33)), rows, pad=1.5)]


def _field(label: str, value: str) -> Block:
    return Stack(words(label, size=7.5), words(value, font=BOLD))


def _turns(member: Member) -> str:
    stated = [tap for tap in member.core.taps if tap.turns_secondary_count is not None]
    return ", ".join(
        f"{tap.terminals_text} "
        f"{figures.text(tap.turns_secondary_count, '1')}:{figures.text(tap.turns_primary_count, '1')}"
        for tap in stated
    )


def _service(member: Member) -> str:
    tap = member.core.tap(member.core.service_tap_id) if member.core.service_tap_id else None
    return tap_words(tap) if tap else ""
