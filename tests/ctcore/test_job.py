"""A job from plain data and back, and what a plate tells of itself."""

from __future__ import annotations

from typing import Any

import pytest

from ctcore.errors import BadInput
from ctcore.job import Core, Tap, from_plain, places, to_plain

SMALL: dict[str, Any] = {
    "job_id": "j1",
    "header": {"number_text": "1042"},
    "positions": [
        {
            "position_id": "b1",
            "name_text": "Bay 1",
            "cts": [
                {
                    "ct_id": "t1",
                    "phase_text": "L1",
                    "cores": [
                        {
                            "core_id": "c1",
                            "number": 1,
                            "class_text": "5P20 15 VA",
                            "taps": [
                                {
                                    "tap_id": "a",
                                    "terminals_text": "S1-S2",
                                    "i_primary_rated_a": 600,
                                    "i_secondary_rated_a": 1,
                                }
                            ],
                        }
                    ],
                }
            ],
        }
    ],
}


def test_a_job_goes_to_plain_data_and_back_unchanged() -> None:
    job = from_plain(SMALL)

    assert from_plain(to_plain(job)) == job


def test_the_keys_of_the_file_may_stand_beside_those_of_the_job() -> None:
    assert from_plain({"format": "coreleaf-job", "version": 1, **SMALL}).job_id == "j1"


def test_an_unknown_name_is_refused_with_its_place() -> None:
    with pytest.raises(BadInput, match=r"job\.header\.colour"):
        from_plain({"job_id": "j1", "header": {"number_text": "1", "colour": "red"}})


def test_a_missing_name_is_refused_with_its_place() -> None:
    with pytest.raises(BadInput, match=r"job\.header\.number_text.*missing"):
        from_plain({"job_id": "j1", "header": {}})


def test_places_stand_in_the_order_of_the_sheet() -> None:
    assert [place.core.core_id for place in places(from_plain(SMALL))] == ["c1"]


def test_the_turns_ratio_is_the_rated_ratio_where_the_plate_gives_no_turns(make_tap: Any) -> None:
    assert make_tap("S1-S2", 600, 5).ns_over_np_ratio == 120.0


def test_the_turns_ratio_counts_the_primary_turns() -> None:
    tap = Tap(
        tap_id="a", terminals_text="S1-S2", i_primary_rated_a=50, i_secondary_rated_a=5,
        turns_secondary_count=100, turns_primary_count=10,
    )  # fmt: skip

    assert tap.ns_over_np_ratio == 10.0


def test_the_full_tap_has_the_most_turns(make_tap: Any) -> None:
    core = Core(core_id="c", number=1, class_text="", taps=(make_tap("S1-S2", 300), make_tap("S1-S3", 600)))

    assert core.full_tap.tap_id == "S1-S3"
    assert (core.tap("S1-S2"), core.tap("S9")) == (core.taps[0], None)


@pytest.mark.parametrize("given", [None, [], 5, "job"])
def test_what_is_no_group_of_values_makes_no_job(given: Any) -> None:
    with pytest.raises(BadInput, match="a group of named values is wanted"):
        from_plain(given)
