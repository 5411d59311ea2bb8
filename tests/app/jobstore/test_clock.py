from __future__ import annotations

import pytest

from app.jobstore.clock import wall_clock


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
