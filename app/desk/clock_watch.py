"""Whether the computer's clock was put while the program ran, told by a clock that nobody can put."""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from typing import Final

from app.desk.wall_clock import moment, seconds_between
from app.record.act import Act, Event
from ctcore.job import Remark

# Practice: what a network corrects is seconds; minutes are worth a word (common practice, no source).
MOST_S: Final = 120.0
_DAY_S: Final = 86_400.0


def steady_s() -> float:
    """Seconds of a clock that only ever goes on, through the sleep of the computer too."""
    # Assumption: the clock of Windows and macOS that Python calls monotonic goes on in sleep by itself.
    boot = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if boot is None else time.clock_gettime(boot)


class ClockWatch:
    """Looks at both clocks now and then; without a steady one it sees nothing."""

    def __init__(self, steady: Callable[[], float] | None) -> None:
        self._steady = steady
        self._last: tuple[float, float] | None = None

    def gone_s(self, clock: Callable[[], datetime]) -> float:
        """By how many seconds the clock was put since the last look: negative for back, 0 for not at all."""
        if self._steady is None:
            return 0.0
        before, self._last = self._last, (clock().timestamp(), self._steady())
        if before is None:
            return 0.0
        gone = (self._last[0] - before[0]) - (self._last[1] - before[1])
        return gone if abs(gone) > MOST_S else 0.0


def behind_words(seen_utc: str, now: datetime) -> str:
    """A sentence where the clock stands before the moment at which this store was closed last; else empty.

    `seen_utc` is that moment by the clock of the same computer, empty where it never was open here.
    """
    ahead_s = seconds_between(now.astimezone(UTC).isoformat(), seen_utc) if seen_utc else None
    if ahead_s is None or ahead_s <= MOST_S:
        return ""
    offset = now.utcoffset()
    minutes = 0 if offset is None else int(offset.total_seconds() // 60)
    here, last = (moment(at, minutes) for at in (now.astimezone(UTC).isoformat(), seen_utc))
    return (
        f"Everything saved is safe and keeps its order. This computer's clock says {here}, and the store was "
        f"closed at {last}: set clock and time zone right before you key or sign anything."
    )


def apart_words(events: Sequence[Event], now: datetime) -> str:
    """A sentence where the clocks of computers that worked on one job are more than a day apart; else empty.

    Seen where something was known before it was done, and where it was done later than now.
    """
    at = {(one.device_id, one.n): one.act.at_utc for one in events}
    now_utc = now.astimezone(UTC).isoformat()
    pairs = [(now_utc, later) for later in at.values()]
    for one in events:
        for device_id, n, *_ in one.act.where.get("heads", ()):
            pairs.append((one.act.at_utc, at.get((device_id, n), one.act.at_utc)))
    days = max((gone for pair in pairs if (gone := seconds_between(*pair)) is not None), default=0.0) / _DAY_S
    if days <= 1:
        return ""
    return (
        f"Every entry is kept in its order. The clocks of the computers are about {days:.0f} days apart, and "
        "times stand as they were written: set the clock that is wrong."
    )


def clock_remark(act: Act) -> Remark:
    """What the sheet says of a clock that was put: a remark on the job as a whole."""
    when = moment(act.at_utc, act.utc_offset_minutes)
    return Remark(
        remark_id=str(uuid.uuid4()),
        core_id="",
        procedure_id="",
        text=f"Computer clock changed by {act.to['gone_text']} at {when}; entries keep their order.",
        person_id=act.person_id,
        at_utc=act.at_utc,
        utc_offset_minutes=act.utc_offset_minutes,
    )


def gone_text(gone_s: float) -> str:
    """How far a clock was put.

    >>> gone_text(-3600.0), gone_text(150.0), gone_text(90_000.0)
    ('\N{MINUS SIGN}1 h 00 min', '+2 min 30 s', '+1 d 1 h 00 min')
    """
    sign = "+" if gone_s > 0 else "\N{MINUS SIGN}"
    minutes, seconds = divmod(round(abs(gone_s)), 60)
    hours, minutes = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    if days:
        return f"{sign}{days} d {hours} h {minutes:02d} min"
    return f"{sign}{hours} h {minutes:02d} min" if hours else f"{sign}{minutes} min {seconds:02d} s"
