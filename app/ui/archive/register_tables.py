"""The registers of the office as tables for paper: every list with each field that somebody filled in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.desk.registers import KINDS, Kind
from app.report.plain_tables import PlainTable
from app.ui.archive import entry_form
from app.ui.dialogs.set_limits import SetLimitsModel
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.registers import Registers
    from app.settings import Settings


def register_tables(registers: Registers, settings: Settings) -> list[PlainTable]:
    """The four lists, and the limits of every set."""
    return [*(_table(kind, registers, settings) for kind in KINDS), _limits(registers)]


def _table(kind: Kind, registers: Registers, settings: Settings) -> PlainTable:
    entries = getattr(registers, kind)
    asks = entry_form.asks_of(kind, registers)
    shown = {
        ask.name: [
            dict(ask.choices).get(value := entry_form.shown(one, ask.name, settings), value)
            for one in entries
        ]
        for ask in asks
    }
    filled = [ask.name for ask in asks if any(shown[ask.name])]
    return PlainTable(
        heading=text(f"register.{kind}"),
        heads=tuple(entry_form.caption_of(kind, name) for name in filled),
        rows=tuple(zip(*(shown[name] for name in filled), strict=True)),
        note_text="" if entries else text("register.no_entry"),
    )


def _limits(registers: Registers) -> PlainTable:
    model = SetLimitsModel()
    return PlainTable(
        heading=text("register.button.limits"),
        heads=(text("register.set_id"), *(text(f"{model.heads}.{name}") for name in model.columns)),
        rows=tuple(
            (one.name_text, *(model.words(limit, name) for name in model.columns))
            for one in registers.limit_sets
            for limit in one.limits
        ),
        note_text="; ".join(
            text("register.founded", name=one.name_text, source=one.source_text, who=one.set_by_text)
            for one in registers.limit_sets
            if one.limits
        ),
    )
