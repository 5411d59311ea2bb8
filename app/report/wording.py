"""Figures, limits, dates and names as the sheet prints them; every number goes through `ctcore.figures`."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal, InvalidOperation
from typing import Final

from app.words import figures, quantity_in_words, retold, said, told
from ctcore import digits
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import METHOD_ROW, Core, Job, Reading, Tap, places
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES
from ctcore.quantities import Quantity, quantity

NOTHING: Final = figures.NOTHING
CHECK_TEXT: Final = "check against the standard"
# Practice: an uncertainty is stated with two digits (JCGM 100:2008, 7.2.6).
_U_DIGITS: Final = 2
_LIMIT_DIGITS: Final = 4
_STATED_DIGITS: Final = 6
# A judged line says its figures again in one sentence; beside the figures only the rest is told.
_FIGURES_SENTENCE: Final = re.compile(r"^(?:[^:]*: ){1,2}?[^:]*? (in hand|over|short of it)\.( |$)")
_MEMORY_SENTENCE: Final = "Limit from memory: check against the standard."


def symbol(row: Quantity) -> str:
    """The printed unit of a quantity; empty for words and pure numbers."""
    return figures.symbol(row.unit) if row.kind == "number" and row.unit else ""


def number(value: float | None, row: Quantity) -> str:
    """A value of a quantity in its trade unit, without the unit."""
    return figures.of_quantity(value, row)


def limit_number(limit: float, row: Quantity, value: float | str | None = None) -> str:
    """A limit with all its digits; a calculated one with as many as keep it on its side of the value."""
    return figures.text(_short(limit, value), row.unit or "1")


def _short(limit: float, value: float | str | None) -> float:
    """A limit of many digits, rounded no further than comparing it with the value allows.

    >>> _short(59.42293198173697, 55.93), _short(59.42293198173697, 59.42), _short(12345.0, 3.0)
    (59.42, 59.423, 12345.0)
    """
    if float(f"{limit:.{_STATED_DIGITS}g}") == limit:
        return limit
    for count in range(_LIMIT_DIGITS, 17):
        rounded = float(f"{limit:.{count}g}")
        if not isinstance(value, float) or (value <= rounded, value >= rounded) == (
            value <= limit,
            value >= limit,
        ):
            return rounded
    return limit


def chosen(value: str, row: Quantity) -> str:
    """The words of a choice, or the text itself."""
    return next((choice.words for choice in row.choices if choice.value == value), value)


def of_reading(reading: Reading, row: Quantity) -> str:
    """A reading with the digits that were typed; what is no number is shown as typed."""
    if reading.withdrawn:
        return said("withdrawn")
    if reading.value_text is None:
        return (
            said("struck")
            if reading.struck
            else said("“{as_typed}” (no number)", as_typed=reading.as_typed_text)
        )
    if row.kind != "number":
        return chosen(reading.value_text, row)
    try:
        exact = Decimal(reading.value_text)
        exponent = int(exact.as_tuple().exponent)
        text = (figures.signed if row.signed else figures.text)(
            float(exact), row.unit or "1", resolution=float(Decimal(1).scaleb(exponent))
        )
    except (InvalidOperation, BadInput, ValueError):
        return said("“{as_typed}” (no number)", as_typed=reading.as_typed_text)
    range_sign = ">" if reading.over_range else "<" if reading.under_range else ""
    return f"{range_sign}{figures.UNIT_GAP}{text}" if range_sign else text


def of_value(value: float | str | None, row: Quantity) -> str:
    """A derived or judged value as text, with the digits that the screen shows."""
    if value is None:
        return NOTHING
    return retold(chosen(value, row)) if isinstance(value, str) else number(value, row)


def with_symbol(figure: str, row: Quantity) -> str:
    """A figure with its unit behind it; the minute of arc stands close."""
    unit = symbol(row)
    if not unit or figure == NOTHING:
        return figure
    return f"{figure}{unit}" if unit == "′" else f"{figure}{figures.UNIT_GAP}{unit}"


def head_unit(row: Quantity) -> str:
    """The unit as it stands in the head of a column or line, where a lone stroke would be overlooked."""
    unit = symbol(row)
    return said("minutes") if unit == "′" else unit


def uncertainty(u_expanded: float | None, row: Quantity) -> str:
    """An expanded uncertainty in the trade unit; empty where unknown."""
    if u_expanded is None:
        return ""
    return figures.text(u_expanded, row.unit or "1", significant=_U_DIGITS)


def limit_text(finding: Finding, row: Quantity, *, unit: bool = False) -> str:
    """The limit in words: "3 at most", "within ±0.25"; with its unit if asked; empty where there is none."""

    def full(figure: str) -> str:
        return with_symbol(figure, row) if unit else figure

    low, high = finding.limit_low, finding.limit_high
    if low is not None and high is not None:
        if low == -high:
            return said("within ±{limit}", limit=full(limit_number(high, row, finding.value)))
        return said(
            "{low} to {high}",
            low=limit_number(low, row, finding.value),
            high=full(limit_number(high, row, finding.value)),
        )
    if low is not None:
        return said("{limit} at least", limit=full(limit_number(low, row, finding.value)))
    if high is not None:
        return said("{limit} at most", limit=full(limit_number(high, row, finding.value)))
    if isinstance(finding.limit, str):
        return retold(chosen(finding.limit, row))
    return full(limit_number(finding.limit, row)) if finding.limit is not None else ""


def reason_text(finding: Finding, core: Core | None = None) -> str:
    """Why a line is judged as it is, without what its figures beside it say already."""
    return retold(reason_in_english(finding, core))


def reason_in_english(finding: Finding, core: Core | None = None) -> str:
    """The same as the record keeps it."""
    if finding.reason:
        return finding.reason
    # Format: records frozen before findings had a reason of their own say all in one text.
    text = finding.text
    tap = core.tap(finding.row) if core else None
    if tap is not None:
        text = text.removeprefix(f"{tap.terminals_text}: ")
    if isinstance(finding.value, float) and finding.limit is not None:
        text = _FIGURES_SENTENCE.sub("", text)
    if isinstance(finding.value, float):
        row = quantity_or_plain(finding.quantity)
        text = text.removeprefix(f"{with_symbol(digits.text(finding.value, row), row)}. ")
    return text.removesuffix(_MEMORY_SENTENCE).strip()


def standing_text(finding: Finding, source: str | None = None) -> str:
    """Where a limit comes from, or that part of it, and how well that is known."""
    source = finding.source if source is None else source
    if finding.limit_standing == "from memory":
        return said("{source} (from memory: {check})", source=retold(source), check=said(CHECK_TEXT))
    if finding.limit_standing in ("plate", "office", "seen") or finding.limit_standing in finding.source:
        return retold(source)
    return f"{retold(source)} ({retold(finding.limit_standing)})"


def ratio_text(tap: Tap) -> str:
    """Rated currents of a tap: "600/5"."""
    return f"{figures.text(tap.i_primary_rated_a, 'A')}/{figures.text(tap.i_secondary_rated_a, 'A')}"


def tap_words(tap: Tap) -> str:
    """Terminals and rated currents of a tap."""
    return f"{tap.terminals_text} {ratio_text(tap)}".strip()


def row_words(row: str, core: Core, procedure: Procedure) -> str:
    """What a row of a test stands for; empty for the test as a whole."""
    tap = core.tap(row)
    if tap is not None:
        return tap_words(tap)
    fixed = next((entry for entry in procedure.rows_of(core) if entry.row == row), None)
    if fixed is not None:
        return told(f"row.{procedure.procedure_id}.{row}", fixed.words)
    return said("point {row}", row=row) if procedure.row_kind == "points" and row else row


def reading_words(job: Job, reading_id: str) -> str:
    """One reading named: row, quantity, value and take; empty where the job has no such reading."""
    found = next((one for one in job.readings if one.reading_id == reading_id), None)
    if found is None:
        return ""
    core = next((place.core for place in places(job) if place.core.core_id == found.core_id), None)
    test = next((one for one in PROCEDURES if one.procedure_id == found.procedure_id), None)
    named = row_words(found.row, core, test) if core and test and found.row != METHOD_ROW else ""
    row = quantity_or_plain(found.quantity_id)
    value = said("struck") if found.struck else with_symbol(of_reading(found, row), row)
    return ", ".join(
        part for part in (named, f"{row.name} {value}", said("take {take}", take=found.take)) if part
    )


def quantity_or_plain(quantity_id: str) -> Quantity:
    """The row of a quantity; one that this version does not know keeps its id as its name."""
    try:
        return quantity_in_words(quantity(quantity_id))
    except KeyError:
        return Quantity(quantity_id=quantity_id, name=quantity_id, heading=quantity_id, kind="text")


def instant(at_utc: str) -> datetime | None:
    """UTC text as a point in time; None where it is none."""
    try:
        at = datetime.fromisoformat(at_utc)
    except ValueError:
        return None
    return at if at.tzinfo else at.replace(tzinfo=UTC)


def utc_moment(at_utc: str) -> str:
    """Date and time in UTC, for what carries no offset of its own."""
    at = instant(at_utc)
    return f"{day(at.astimezone(UTC).date())} {at.astimezone(UTC):%H:%M} UTC" if at else at_utc


def local(at_utc: str, utc_offset_minutes: int) -> datetime | None:
    """The time on the wall clock of the site."""
    at = instant(at_utc)
    if at is None:
        return None
    return at.astimezone(UTC).replace(tzinfo=None) + timedelta(minutes=utc_offset_minutes)


def moment(at_utc: str, utc_offset_minutes: int) -> str:
    """Date, time and offset: "24 Nov 2026 08:52 +01:00"."""
    at = local(at_utc, utc_offset_minutes)
    if at is None:
        return at_utc
    sign = "+" if utc_offset_minutes >= 0 else figures.MINUS
    hours, minutes = divmod(abs(utc_offset_minutes), 60)
    return f"{day(at.date())} {at:%H:%M} {sign}{hours:02d}:{minutes:02d}"


_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day(value: date) -> str:
    """A date that reads the same everywhere: "24 Nov 2026"."""
    return said("{day} {month} {year}", day=value.day, month=said(_MONTHS[value.month - 1]), year=value.year)


def day_text(iso_text: str | None) -> str:
    """A date of the record as it is printed; what is no date is shown as it stands."""
    if not iso_text:
        return said("not stated")
    try:
        return day(date.fromisoformat(iso_text[:10]))
    except ValueError:
        return iso_text


def span(readings: tuple[Reading, ...]) -> str:
    """From the first to the last of some readings."""
    return " ".join(part for part in span_parts(readings) if part)


def span_parts(readings: tuple[Reading, ...]) -> tuple[str, str]:
    """The day and the hours of some readings; where they span several days the day is empty."""
    walls = (local(reading.at_utc, reading.utc_offset_minutes) for reading in readings)
    times = sorted(at for at in walls if at is not None)
    if not times:
        return "", ""
    first, last = times[0], times[-1]
    if first.date() == last.date():
        until = "" if f"{first:%H:%M}" == f"{last:%H:%M}" else said(" to {last:%H:%M}", last=last)
        return day(first.date()), f"{first:%H:%M}{until}"
    return "", said(
        "{day} {first:%H:%M} to {day_2} {last:%H:%M}",
        day=day(first.date()),
        first=first,
        day_2=day(last.date()),
        last=last,
    )
