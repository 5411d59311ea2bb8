"""The list of what is looked for, and what every notice has in common."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ctcore import entry
from ctcore.job import places
from ctcore.notices import NOTICES, not_judged, notices, notices_of_core
from ctcore.quantities import quantity
from ctcore.takes import takes_of
from samples.making.faulty_bay import make_clean, make_faulty

HERE = Path(__file__).parent


def test_every_notice_has_an_id_and_a_name_of_its_own() -> None:
    assert len({row.notice_id for row in NOTICES}) == len({row.name for row in NOTICES}) == len(NOTICES)


@pytest.mark.parametrize("notice_id", [row.notice_id for row in NOTICES])
def test_every_notice_is_tested_both_ways_and_where_it_cannot_tell(notice_id: str) -> None:
    text = "\n".join(
        path.read_text("utf-8") for path in HERE.glob("test_*.py") if path.name != "test_registry.py"
    )

    assert f'"{notice_id}"' in text


def test_a_set_of_phases_is_told_once_for_the_job_and_on_each_of_its_cores(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase in ("L1", "L2", "L3"):
        made.key(f"{phase}-1", "ratio", ratio_method="voltage")
        made.key(f"{phase}-1", "ratio", "S1-S3", v_secondary_v=120, v_primary_v=0.2, polarity_read="opposes")
    takes = takes_of(made.readings)

    assert made.all_noticed() == ["reversed_all"]
    assert [len(notices_of_core(made.job, place, takes)) for place in places(made.job)] == [1, 1, 1]


def test_a_core_is_told_only_what_is_about_it() -> None:
    job = make_faulty()
    takes = takes_of(job.readings)
    by_core = [notices_of_core(job, place, takes) for place in places(job)]

    assert all(
        place.core.core_id in one.cores
        for place, told in zip(places(job), by_core, strict=True)
        for one in told
    )
    assert {one for told in by_core for one in told} == set(notices(job, takes))


def test_what_cannot_be_judged_is_said_with_its_reason() -> None:
    job = make_clean()
    found = not_judged(job, places(job)[0], takes_of(job.readings))

    assert {entry.notice_id for entry in found} >= {"swapped_serials", "copied_from_before"}
    assert all(entry.reason.endswith(".") for entry in found)


def test_an_offer_keyed_as_it_stands_gives_the_corrected_value() -> None:
    job = make_faulty()
    offers = [one.offer for one in notices(job, takes_of(job.readings)) if one.offer is not None]
    offered = [field for offer in offers for field in offer.entries]
    kept = {(r.core_id, r.row, r.quantity_id): float(r.value_text or "nan") for r in job.readings
            if r.procedure_id == "excitation" and r.row != "method"}  # fmt: skip
    factors = {
        round(kept[field.core_id, field.row, field.quantity_id]
              / entry.parse(field.text, quantity(field.quantity_id).unit).value, 6)
        for field in offered
    }  # fmt: skip

    assert factors == {10.0, 1000.0}


def test_looking_changes_nothing() -> None:
    job = make_faulty()
    before = job.readings

    notices(job, takes_of(job.readings))

    assert job.readings is before
