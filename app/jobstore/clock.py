"""Times of the record as the clock on the wall showed them."""

from __future__ import annotations

from datetime import datetime, timedelta


def wall_clock(at_utc: str, utc_offset_minutes: int) -> str:
    """Date and time on the wall where a reading was taken; the text itself where it is no time.

    >>> wall_clock("2031-05-04T08:42:07.120Z", 120)
    '2031-05-04 10:42:07'
    """
    try:
        moment = datetime.fromisoformat(at_utc) + timedelta(minutes=utc_offset_minutes)
    except (ValueError, OverflowError):
        return at_utc
    return moment.strftime("%Y-%m-%d %H:%M:%S")


def local_clock(at_utc: str) -> str:
    """Date and time on this computer's clock; the text itself where it is no time.

    >>> local_clock("some day")
    'some day'
    """
    try:
        return datetime.fromisoformat(at_utc).astimezone().strftime("%Y-%m-%d %H:%M")
    except (ValueError, OverflowError):
        return at_utc
