"""Times of the record as the clock on the wall showed them, with what it was ahead of UTC."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


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


def seconds_between(before_utc: str, after_utc: str) -> float | None:
    """How far the second time is after the first, negative where the clock went back; None for no times.

    >>> seconds_between("2031-05-04T08:42:07Z", "2031-05-04T08:40:07Z")
    -120.0
    """
    try:
        return (datetime.fromisoformat(after_utc) - datetime.fromisoformat(before_utc)).total_seconds()
    except (ValueError, TypeError, OverflowError):
        return None
