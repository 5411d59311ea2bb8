from __future__ import annotations

from datetime import UTC, datetime

import pytest

from app.jobstore.clock import local_clock, wall_clock


@pytest.mark.parametrize(
    ("at_utc", "offset", "wanted"),
    [
        ("2031-05-04T23:30:00Z", 60, "2031-05-05 00:30:00"),
        ("2031-05-04T08:42:07.999Z", -210, "2031-05-04 05:12:07"),
        ("some day", 0, "some day"),
        ("9999-12-31T23:59:59Z", 120, "9999-12-31T23:59:59Z"),
    ],
)
def test_a_time_is_shown_as_the_clock_on_the_wall_had_it(at_utc: str, offset: int, wanted: str) -> None:
    assert wall_clock(at_utc, offset) == wanted


def test_what_is_no_time_is_shown_as_it_is() -> None:
    assert local_clock("some day") == "some day"


def test_a_time_is_shown_as_the_clock_of_this_computer_has_it() -> None:
    local = datetime(2031, 5, 4, 8, 42, tzinfo=UTC).astimezone()
    assert local_clock("2031-05-04T08:42:07Z") == local.strftime("%Y-%m-%d %H:%M")
