"""What a field of the plate page shows of a plate, and what its text makes of it."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from app.settings import Settings
from app.ui.shell import numbers
from ctcore.job import CT, Core, Tap
from ctcore.procedures import MEASURED, PROCEDURES, planned

YES_NO: Final = (("yes", "yes"), ("no", "no"))
YES_NO_UNKNOWN: Final = (("yes", "yes"), ("no", "no"), ("", "not stated"))
INSULATIONS: Final = (("dry", "dry"), ("oil", "oil"), ("gas", "gas"), ("not stated", "not stated"))
CONDUCTORS: Final = (("copper", "copper"), ("aluminium", "aluminium"))
_YES: Final = {True: "yes", False: "no", None: ""}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One question about a transformer, a core or a tap: `name` is the field of the plate that it fills."""

    name: str
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    must_be_stated: bool = False


CT_ASKS: Final = (
    Ask(name="maker_text"),
    Ask(name="type_text"),
    Ask(name="year_text"),
    Ask(name="um_kv", unit="1"),
    Ask(name="insulation", choices=INSULATIONS),
    Ask(name="plate_confirmed", choices=YES_NO),
)
CORE_ASKS: Final = (
    Ask(name="class_text", must_be_stated=True),
    Ask(name="duty_text"),
    Ask(name="conductor", choices=CONDUCTORS),
    Ask(name="class_on_every_tap", choices=YES_NO),
    Ask(name="low_leakage", choices=YES_NO_UNKNOWN),
    Ask(name="r_winding_75degc_plate_ohm", unit="ohm"),
    Ask(name="service_tap_id"),
    Ask(name="remark_text"),
)
TAP_ASKS: Final = (
    Ask(name="terminals_text", must_be_stated=True),
    Ask(name="i_primary_rated_a", unit="A", must_be_stated=True),
    Ask(name="i_secondary_rated_a", unit="A", must_be_stated=True),
    Ask(name="turns_secondary_count", unit="1"),
    Ask(name="turns_primary_count", unit="1", must_be_stated=True),
)


def shown(part: CT | Core | Tap, ask: Ask, settings: Settings) -> str:
    """The text of a field as the plate stands."""
    value = getattr(part, ask.name)
    if ask.unit:
        return numbers.shown(value, ask.unit, settings)
    if isinstance(value, bool) or (value is None and ask.choices):
        return _YES[value]
    return str(value or "")


def answer(ask: Ask, words: str, settings: Settings) -> tuple[object, str]:
    """The value that a text stands for, and why it stands for none."""
    if ask.unit:
        value, reason = numbers.read(words, ask.unit, settings)
        if not reason and value is not None and value <= 0.0:
            return None, "It is above zero."
        if not reason and value is None and ask.must_be_stated:
            return None, "It has to be stated."
        return value, reason
    if ask.choices in (YES_NO, YES_NO_UNKNOWN):
        return {"yes": True, "no": False, "": None}[words], ""
    if ask.name == "service_tap_id":
        return words or None, ""
    if ask.name == "terminals_text" and not words:
        return None, "A pair of terminals has a name, such as 1S1-1S2."
    return words, ""


def core_of(ct: CT, core_id: str) -> Core | None:
    """The core of that id."""
    return next((core for core in ct.cores if core.core_id == core_id), None)


def with_core(ct: CT, core_id: str, change: Callable[[Core], Core]) -> CT:
    """The transformer with one core changed."""
    return dataclasses.replace(
        ct, cores=tuple(change(core) if core.core_id == core_id else core for core in ct.cores)
    )


def with_tap(core: Core, tap_id: str, change: Callable[[Tap], Tap]) -> Core:
    """The core with one pair of terminals changed."""
    return dataclasses.replace(
        core, taps=tuple(change(tap) if tap.tap_id == tap_id else tap for tap in core.taps)
    )


def without_tap(core: Core, tap_id: str) -> Core:
    """The core without one pair of terminals."""
    kept = tuple(tap for tap in core.taps if tap.tap_id != tap_id)
    service = None if core.service_tap_id == tap_id else core.service_tap_id
    return dataclasses.replace(core, taps=kept, service_tap_id=service)


def is_planned(core: Core, procedure_id: str) -> bool:
    """Whether a test belongs to the plan of a core."""
    return procedure_id in {test.procedure_id for test in planned(core)}


def plan(core: Core, procedure_id: str, wanted: bool) -> Core:
    """The core with a test put into its plan, before the first that the day has after it, or taken out."""
    day = [test.procedure_id for test in PROCEDURES]
    kept = [test.procedure_id for test in planned(core) if test.procedure_id != procedure_id]
    if wanted:
        later = (index for index, name in enumerate(kept) if day.index(name) > day.index(procedure_id))
        kept.insert(next(later, len(kept)), procedure_id)
    order = tuple(kept)
    measured = tuple(test.procedure_id for test in MEASURED)
    return dataclasses.replace(core, procedures=() if order == measured else order)
