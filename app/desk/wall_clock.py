"""Times of the record as the clock on the wall showed them, with what it was ahead of UTC."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import Final

_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_ISO_DAY: Final = re.compile(r"\d{4}-[01]\d-[0-3]\d")
_NAMED_DAY: Final = re.compile(r"\b([0-3]?\d)\.? ([A-Za-z]{3,9})\.?,? (\d{4})\b")
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


def day_and_time(typed: str) -> str:
    """The day and time in a typed text, so that texts of it sort by the clock; empty where there is no day.

    >>> day_and_time("Wednesday 14 October 2026, 16:00"), day_and_time("2026-10-14 16:00")
    ('2026-10-14 16:00', '2026-10-14 16:00')
    >>> day_and_time("when the line is back")
    ''
    """
    time = _TIME.search(typed)
    clock = f" {int(time[1]):02d}:{time[2]}" if time else ""
    iso, named = _ISO_DAY.search(typed), _NAMED_DAY.search(typed)
    if iso:
        return f"{iso[0]}{clock}"
    if named and named[2][:3].title() in _MONTHS:
        month = _MONTHS.index(named[2][:3].title()) + 1
        return f"{named[3]}-{month:02d}-{int(named[1]):02d}{clock}"
    return ""


def seconds_between(before_utc: str, after_utc: str) -> float | None:
    """How far the second time is after the first, negative where the clock went back; None for no times.

    >>> seconds_between("2031-05-04T08:42:07Z", "2031-05-04T08:40:07Z")
    -120.0
    """
    try:
        return (datetime.fromisoformat(after_utc) - datetime.fromisoformat(before_utc)).total_seconds()
    except (ValueError, TypeError, OverflowError):
        return None
