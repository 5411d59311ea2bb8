"""Times of the record as the clock on the wall showed them, with what it was ahead of UTC."""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import date, datetime, timedelta
from typing import Final

_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
# By the first three letters, in English and German.
_MONTH_OF: Final = {
    **{name.lower(): number for number, name in enumerate(_MONTHS, start=1)},
    "mär": 3,
    "mai": 5,
    "okt": 10,
    "dez": 12,
}
_ISO_DAY: Final = re.compile(r"\b(?P<year>\d{4})-(?P<month>[01]\d)-(?P<day>[0-3]\d)\b")
_NAMED_DAY: Final = re.compile(
    r"\b(?P<day>[0-3]?\d)\.? (?P<name>[^\W\d_]{3,9})\b\.?,?(?: (?P<year>\d{4})\b)?"
)
_DOTTED_DAY: Final = re.compile(r"\b(?P<day>[0-3]?\d)\. ?(?P<month>[01]?\d)\.(?: ?(?P<year>\d{4})\b)?")
_DAYS_ON: Final = {"today": 0, "heute": 0, "tomorrow": 1, "morgen": 1}
_TIME: Final = re.compile(r"\b([0-2]?\d):([0-5]\d)\b")


def moment(at_utc: str, utc_offset_minutes: int) -> str:
    """Day, time and offset; the text itself where it is no time.

    >>> moment("2031-05-04T08:42:07.120Z", 120)
    '4 May 2031 10:42:07 +02:00'
    """
    try:
        at = datetime.fromisoformat(at_utc) + timedelta(minutes=utc_offset_minutes)
    except (ValueError, OverflowError):
        return at_utc
    hours, minutes = divmod(abs(utc_offset_minutes), 60)
    sign = "+" if utc_offset_minutes >= 0 else "\N{MINUS SIGN}"
    return f"{at.day} {_MONTHS[at.month - 1]} {at.year} {at:%H:%M:%S} {sign}{hours:02d}:{minutes:02d}"


def day_and_time(typed: str, near: date | None = None) -> str:
    """The day and time in a typed text, so that texts of it sort by the clock; empty where there is no day.

    A day without a year is the one that is nearest to `near`; of "today" and "tomorrow" that is the first.

    >>> day_and_time("Wednesday 14 October 2026, 16:00"), day_and_time("2026-10-14 16:00")
    ('2026-10-14 16:00', '2026-10-14 16:00')
    >>> day_and_time("2. Jan 8:30", date(2031, 12, 29)), day_and_time("tomorrow 16:00", date(2031, 12, 31))
    ('2032-01-02 08:30', '2032-01-01 16:00')
    >>> day_and_time("when the line is back", date(2031, 12, 29))
    ''
    """
    time = _TIME.search(typed)
    clock = f" {int(time[1]):02d}:{time[2]}" if time else ""
    day = _day_in(typed, near)
    return f"{day.isoformat()}{clock}" if day is not None else ""


def _day_in(typed: str, near: date | None) -> date | None:
    for pattern in (_ISO_DAY, _NAMED_DAY, _DOTTED_DAY):
        for found in pattern.finditer(typed):
            parts = found.groupdict()
            month = _MONTH_OF.get((parts.get("name") or "")[:3].lower()) or int(parts.get("month") or 0)
            day = _nearest(int(parts["day"]), month, int(parts["year"] or 0), near)
            if day is not None:
                return day
    if near is None:
        return None
    words = re.findall(r"[^\W\d_]+", typed.lower())
    on = next((_DAYS_ON[word] for word in words if word in _DAYS_ON), None)
    if on is None and (words or not _TIME.search(typed)):
        return None
    return near + timedelta(days=on or 0)


def _nearest(day: int, month: int, year: int, near: date | None) -> date | None:
    """That day of that year; without a year, the one nearest to a day; None where there is none."""
    years = (year,) if year else (near.year - 1, near.year, near.year + 1) if near is not None else ()
    found = []
    for one in years:
        with suppress(ValueError):
            found.append(date(one, month, day))
    return min(found, key=lambda one: abs((one - (near or one)).days), default=None)


def seconds_between(before_utc: str, after_utc: str) -> float | None:
    """How far the second time is after the first, negative where the clock went back; None for no times.

    >>> seconds_between("2031-05-04T08:42:07Z", "2031-05-04T08:40:07Z")
    -120.0
    """
    try:
        return (datetime.fromisoformat(after_utc) - datetime.fromisoformat(before_utc)).total_seconds()
    except (ValueError, TypeError, OverflowError):
        return None
