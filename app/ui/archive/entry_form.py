"""The fields of an entry of the registers, by kind; what is typed becomes the entry."""

from __future__ import annotations

import dataclasses
import uuid
from datetime import date
from typing import TYPE_CHECKING, Any, Final

from app.desk.limit_sets import LimitSet
from app.desk.registers import Kind, Template
from app.settings import ROWS, Settings
from app.ui.dialogs.new_job import phases_of
from app.ui.pages.people import ASKS as INSTRUMENT_ASKS
from app.ui.pages.people import Ask
from app.ui.pages.title import CORRECTIONS
from app.ui.shell import numbers
from app.ui.texts import text
from ctcore.job import Instrument, Person

if TYPE_CHECKING:
    from app.desk.registers import Entry, Registers

_CHOICES: Final = {row.name: row.choices for row in ROWS}
_UNITS: Final = {
    "client_insulation_limit_ohm": "Mohm", "voltage_ceiling_v": "V", "frequency_rated_hz": "Hz",
    "spec_reading_percent": "percent", "spec_floor": "1",
}  # fmt: skip
_NUMBERS: Final = tuple(_UNITS)
_CLASSES_APART: Final = "; "
_HEADER: Final = (
    "customer_text", "site_text", "title_text", "work_type_text", "paper", "sheet_language",
    "frequency_rated_hz",
    "phase_names", "decision_rule", "insulation_limit_set", "client_insulation_limit_ohm",
    "insulation_correction", "voltage_ceiling_v",
)  # fmt: skip


def asks_of(kind: Kind, registers: Registers) -> tuple[Ask, ...]:
    """The fields of a kind of entry."""
    name = Ask(name="name_text", must_be_stated=True)
    if kind == "people":
        return (name, Ask(name="employer_text"), Ask(name="authorisation_text"))
    if kind == "instruments":
        return tuple(ask for ask in INSTRUMENT_ASKS if ask.name != "checked_before_use_text")
    if kind == "limit_sets":
        return (
            name,
            Ask(name="decision_rule", choices=_CHOICES["decision_rule"]),
            Ask(name="insulation_limit_set", choices=_CHOICES["insulation_limit_set"]),
            Ask(name="client_insulation_limit_ohm"),
            Ask(name="insulation_correction", choices=CORRECTIONS),
            Ask(name="voltage_ceiling_v"),
            Ask(name="source_text"),
            Ask(name="set_by_text"),
        )
    sets = (("", text("register.no_set")), *((one.set_id, one.name_text) for one in registers.limit_sets))
    return (
        name,
        *(Ask(name=one) for one in ("customer_text", "site_text", "title_text", "work_type_text")),
        Ask(name="set_id", choices=sets),
        Ask(name="core_classes"),
        Ask(name="paper", choices=_CHOICES["paper"]),
        Ask(name="sheet_language", choices=(("", text("register.no_set")), *_CHOICES["sheet_language"])),
        Ask(name="frequency_rated_hz", must_be_stated=True),
        Ask(name="phase_names", must_be_stated=True),
    )


def caption_of(kind: Kind, name: str) -> str:
    """The caption of a field."""
    if kind == "instruments":
        return text(f"instrument.{name}")
    if kind == "people" and name != "name_text":
        return text(f"person.{name.removesuffix('_text')}")
    return text(f"header.{name}") if name in _HEADER else text(f"register.{name}")


def new_entry(kind: Kind, name_text: str) -> Entry:
    """An entry of which only the name is known."""
    number = str(uuid.uuid4())
    if kind == "people":
        return Person(person_id=number, name_text=name_text)
    if kind == "instruments":
        return Instrument(instrument_id=number, name_text=name_text)
    if kind == "limit_sets":
        return LimitSet(set_id=number, name_text=name_text)
    return Template(template_id=number, name_text=name_text)


def shown(entry: Entry, name: str, settings: Settings) -> str:
    """What a field shows of an entry."""
    value: Any = getattr(entry, name)
    if name in _UNITS:
        return numbers.shown(value, _UNITS[name], settings)
    if isinstance(value, tuple):
        return (_CLASSES_APART if name == "core_classes" else " ").join(value)
    return value or ""


def changed(entry: Entry, ask: Ask, typed: str, settings: Settings) -> tuple[Entry | None, str]:
    """The entry with a field as it was typed, or None with the reason why it is not taken."""
    value, reason = _value(ask, typed, settings)
    return (None, reason) if reason else (dataclasses.replace(entry, **{ask.name: value}), "")


def _value(ask: Ask, typed: str, settings: Settings) -> tuple[Any, str]:
    if ask.name == "name_text" and not typed:
        return None, text("register.no_name")
    if ask.name in _NUMBERS:
        value, reason = numbers.read(typed, _UNITS[ask.name], settings)
        if not reason and value is not None and value < 0.0:
            return None, text("field.not_negative")
        return (
            (None, text("field.not_stated_reason")) if _wants(ask, value) and not reason else (value, reason)
        )
    if ask.name == "core_classes":
        return tuple(filter(None, (one.strip() for one in typed.split(_CLASSES_APART.strip())))), ""
    if ask.name == "phase_names":
        names = phases_of(typed)
        whole = 1 <= len(names) == len(set(names))
        return (names, "") if whole else (None, text("field.not_stated_reason"))
    if ask.kind == "date":
        try:
            return (date.fromisoformat(typed).isoformat() if typed else None), ""
        except ValueError:
            return None, text("field.no_date")
    return typed, ""


def _wants(ask: Ask, value: float | None) -> bool:
    return ask.must_be_stated and value is None
