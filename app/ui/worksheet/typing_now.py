"""What is said of the row in hand while it is typed: read-back, the point on the plot, the hint."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from app.settings import Settings
from app.ui.models.quantity_words import name_of, words_of
from app.ui.texts import text
from app.ui.widgets.framedfield import FramedField
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.fieldline import FieldLine, doubt_words, no_value_words
from app.ui.worksheet.readback import Said
from app.ui.worksheet.sheet import RowLine, Sheet
from app.words import figures, retold
from ctcore import entry
from ctcore.curve import NextReading
from ctcore.errors import BadInput
from ctcore.judgement.excitation_targets import finer_point, voltage_wanted_v
from ctcore.judgement.plate import tap_fed
from ctcore.quantities import Quantity

_ADVICE: Final = ("advice",)


@dataclass(frozen=True, slots=True)
class RowNow:
    """Figures to read back, and the point (V, A) where both are numbers."""

    said: tuple[Said, ...]
    point: tuple[float, float] | None
    row: RowLine


def row_now(
    fields: Sequence[FramedField], line: RowLine, before: RowLine | None, current: int, settings: Settings
) -> RowNow:
    """What the fields of the row in hand say now, kept or not; the row before where it says nothing yet."""
    said: list[Said] = []
    values: dict[str, float] = {}
    for index, (field, content) in enumerate(zip(fields, line.fields, strict=True)):
        typed = (
            field.edit.entry_text() if field.edit.hasFocus() or field.edit.is_edited_text() else content.typed
        )
        if not typed:
            continue
        words, value = _said(content, typed, settings)
        said.append(Said(words, index == current or (current < 0 and index == len(fields) - 1)))
        if value is not None:
            values[content.quantity.quantity_id] = value
    if not said and before is not None:
        kept = [(field, field.typed) for field in before.fields if field.typed]
        said = [
            Said(_said(field, typed, settings)[0], index == len(kept) - 1)
            for index, (field, typed) in enumerate(kept)
        ]
        return RowNow(tuple(said), None, before if said else line)
    volts, amperes = values.get("v_excitation_v"), values.get("i_excitation_a")
    return RowNow(tuple(said), None if volts is None or amperes is None else (volts, amperes), line)


def _said(content: FieldLine, typed: str, settings: Settings) -> tuple[str, float | None]:
    unit = content.quantity.unit
    if content.quantity.kind != "number":
        return typed, None
    try:
        found = entry.parse(typed, unit, decimal_comma=settings.decimal_comma())
    except BadInput:
        return f"{typed} {figures.symbol(unit)} ?", None
    figure = figures.of_entry(found, unit)
    symbol = figures.symbol(unit)
    gap = "" if symbol in ("", "\u00b0", "\u2032") else figures.UNIT_GAP
    return figure + gap + symbol, found.value


def place_words(sheet: Sheet, line: RowLine) -> tuple[str, str]:
    """Phase, core and row in a few words."""
    words = text("steps.row", row=line.words) if line.row.isdigit() else line.words
    return text("readback.place", phase=sheet.place.ct.phase_text, core=sheet.core.number), words


def hint(sheet: Sheet, field: FieldLine | None, curves: CurveStore) -> str:
    """The sentence beneath the rows for the field in hand."""
    if field is not None and field.reason and field.state in ("no number", "doubt"):
        return no_value_words(field) if field.state == "no number" else doubt_words(field)
    if field is not None and field.choices:
        return "   ".join(f"{number} {choice.words}" for number, choice in enumerate(field.choices, start=1))
    if field is not None and field.state == "repeated":
        return text("hint.repeated")
    if sheet.procedure.curve == "excitation":
        words = next_words(sheet, curves)
        if words:
            return words
        if len(sheet.rows) <= 1:
            return text("hint.no_rows")
    return field.quantity.help_text if field is not None else ""


def next_words(sheet: Sheet, curves: CurveStore) -> str:
    """The next volts to take and why; where the class has enough, what a finer knee would want.

    What costs a search along the curve is said once it was worked out, when the keys rest.
    """
    view = curves.view(sheet.scene, sheet.take)
    if view.curve is None:
        return ""
    tap = tap_fed(sheet.core, sheet.take)
    wanted = None if tap is None else voltage_wanted_v(sheet.scene, tap)
    short = wanted is not None and view.curve.voltage_last_v < wanted
    if view.next_voltage_v is None:
        return "" if short else _finer_words(curves.found(_ADVICE, (view,)))
    shown = figures.with_unit(view.next_voltage_v, "V", significant=3)
    if wanted is not None and short:
        need = figures.with_unit(wanted / view.frequency_factor, "V", significant=3)
        return text("hint.next_class", volts=shown, wanted=need)
    return text("hint.next_why", volts=shown, why=retold(view.next_reason_text))


def _finer_words(advice: object) -> str:
    if not isinstance(advice, NextReading) or advice.voltage_v is None:
        return ""
    shown = figures.with_unit(advice.voltage_v, "V", significant=3)
    return text("hint.next_finer", volts=shown, why=retold(advice.reason_text))


def work_out_advice(sheet: Sheet, curves: CurveStore) -> None:
    """Search along the curve for what would make its knees better known."""
    view = curves.view(sheet.scene, sheet.take)
    if sheet.procedure.curve == "excitation" and view.curve is not None and view.next_voltage_v is None:
        tap = tap_fed(sheet.core, sheet.take)
        curves.kept(_ADVICE, (view,), partial(finer_point, sheet.scene, view, tap))


def help_words(quantity: Quantity) -> str:
    """All that is known of a quantity, and where all keys stand."""
    return f"{name_of(quantity)}. {words_of(quantity)} {text('help.again')}"
