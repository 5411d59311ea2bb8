"""Readings by field, and takes kept up reading by reading."""

from __future__ import annotations

import dataclasses

from hypothesis import given
from hypothesis import strategies as st

from app.desk.reading_index import ReadingIndex, address_of
from app.desk.view import Address
from ctcore.job import METHOD_ROW, Reading
from ctcore.takes import Take, takes_of

FIELD = Address("c1", "ratio", 1, "full", "ratio_measured")


def reading(number: int, address: Address = FIELD, **changes: object) -> Reading:
    made = Reading(
        reading_id=f"r{number}", core_id=address.core_id, procedure_id=address.procedure_id,
        take=address.take, row=address.row, quantity_id=address.quantity_id, as_typed_text=str(number),
        value_text=str(number), person_id="p", at_utc=f"2031-11-24T07:{number:02}:00.000Z",
        utc_offset_minutes=60, device_id="d", device_seq=number,
    )  # fmt: skip
    return dataclasses.replace(made, **changes)  # type: ignore[arg-type]


@st.composite
def entered(draw: st.DrawFn) -> list[Reading]:
    """Entries, corrections, strike-outs and undoings in a few fields, some of them late by their clock."""
    found: list[Reading] = []
    for number in range(draw(st.integers(1, 25))):
        address = Address(
            "c1", draw(st.sampled_from(["ratio", "resistance"])), draw(st.integers(1, 2)),
            draw(st.sampled_from(["a", "b", METHOD_ROW])), draw(st.sampled_from(["x", "y"])),
        )  # fmt: skip
        before = [entry for entry in found if address_of(entry) == address]
        follows = draw(st.booleans()) and bool(before)
        minute = draw(st.sampled_from([number, number, number, max(number - 3, 0)]))
        kind = draw(st.sampled_from([{}, {}, {"struck": True}, {"withdrawn": True}])) if follows else {}
        found.append(
            reading(
                number,
                address,
                at_utc=f"2031-11-24T07:{minute:02}:00.000Z",
                supersedes_id=before[-1].reading_id if follows else None,
                **kind,
            )
        )
    return found


@given(entered())
def test_takes_kept_up_reading_by_reading_are_those_of_all_readings(readings: list[Reading]) -> None:
    index = ReadingIndex(())
    takes: dict[tuple[str, str], tuple[Take, ...]] = {}

    for entry in readings:
        takes |= index.add([entry], takes)

    # As texts: the order of rows and of cells counts as well, which dicts leave out of equality.
    assert {key: repr(found) for key, found in takes.items()} == {
        key: repr(found) for key, found in takes_of(readings).items()
    }


def test_what_a_reading_does_not_touch_stays_the_same_object() -> None:
    first, other = reading(1), reading(2, dataclasses.replace(FIELD, take=2))
    index = ReadingIndex((first, other))
    before = takes_of([first, other])

    after = index.add([reading(3, supersedes_id="r1")], before)["c1", "ratio"]

    assert (after[0].row("full").cell("ratio_measured").number, after[1] is before["c1", "ratio"][1]) == (
        3.0,
        True,
    )


def test_the_reading_that_stood_before_is_found_in_its_field_alone() -> None:
    index = ReadingIndex((reading(1), reading(2, dataclasses.replace(FIELD, row="half"))))

    found = [index.superseded_by(reading(3, supersedes_id=before)) for before in ("r1", "r2", None)]

    assert found == [reading(1), None, None]


def test_a_field_holds_all_that_was_ever_entered_in_it() -> None:
    index = ReadingIndex((reading(1),))

    index.add([reading(2, supersedes_id="r1")], takes_of([reading(1)]))

    assert [entry.reading_id for entry in index.in_field(FIELD)] == ["r1", "r2"]
