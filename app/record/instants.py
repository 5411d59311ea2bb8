"""Points in time as the record spells them, and how signatures spell them."""

from __future__ import annotations

import datetime as dt

from ctcore.errors import BadInput


def utc_text(at: dt.datetime) -> str:
    """A time as UTC text to the second.

    >>> utc_text(dt.datetime(2031, 5, 4, 10, 42, 7, tzinfo=dt.timezone(dt.timedelta(hours=2))))
    '2031-05-04T08:42:07Z'
    """
    return at.astimezone(dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def instant_of(text: str) -> dt.datetime:
    """The time of a UTC text with or without parts of a second; BadInput for anything else.

    >>> instant_of("2031-05-04T08:42:07Z").minute
    42
    """
    try:
        at = dt.datetime.fromisoformat(text)
    except (TypeError, ValueError) as problem:
        raise BadInput("time", text, "is not a time in UTC") from problem
    if at.tzinfo is None or at.utcoffset() != dt.timedelta(0):
        raise BadInput("time", text, "is not a time in UTC")
    return at


def epoch_s(at: dt.datetime) -> int:
    """Whole seconds since 1970, as a command line takes a time."""
    return int(at.timestamp())


def said(at: dt.datetime) -> str:
    """A time for a sentence.

    >>> said(instant_of("2031-05-04T08:42:07Z"))
    '4 May 2031 08:42 UTC'
    """
    at = at.astimezone(dt.UTC)
    months = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
              "October", "November", "December")  # fmt: skip
    return f"{at.day} {months[at.month - 1]} {at.year} {at:%H:%M} UTC"
