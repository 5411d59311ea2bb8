from __future__ import annotations

import datetime as dt

import pytest

from app.record.instants import epoch_s, instant_of, said, utc_text
from ctcore.errors import BadInput


def test_a_time_comes_back_from_its_text() -> None:
    at = dt.datetime(2031, 5, 4, 8, 42, 7, tzinfo=dt.UTC)

    assert instant_of(utc_text(at)) == at


def test_seconds_since_1970_are_those_of_posix() -> None:
    # Source: IEEE Std 1003.1, "Seconds Since the Epoch": 2000-01-01 is 10 957 days after 1970-01-01.
    assert epoch_s(instant_of("2000-01-01T00:00:00Z")) == 10957 * 86400


def test_a_time_is_said_in_utc() -> None:
    assert (
        said(dt.datetime(2031, 5, 4, 1, 0, tzinfo=dt.timezone(dt.timedelta(hours=2))))
        == "3 May 2031 23:00 UTC"
    )


@pytest.mark.parametrize("text", ["", "noon", "2031-05-04T08:42:07", "2031-05-04T08:42:07+02:00", None])
def test_what_is_no_utc_time_is_refused(text: str) -> None:
    with pytest.raises(BadInput):
        instant_of(text)
