"""What is judged when: stored findings at once, stale ones when asked for or in between, never unseen."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from app.desk import Address, Change, Desk, core
from app.jobstore import Store
from ctcore.judge import judge_core

KeyPoint = Callable[[str, str, str], Change]


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The cores judged, in order; and nothing is judged before it is asked for."""
    seen: list[str] = []

    def counted(job, place, takes):  # type: ignore[no-untyped-def]
        seen.append(place.core.core_id)
        return judge_core(job, place, takes)

    monkeypatch.setattr("app.desk.results.judge_core", counted)
    monkeypatch.setattr(core, "AT_ONCE", 0)
    return seen


def test_stored_findings_are_not_judged_when_a_job_opens(
    desk: Desk, job_id: str, key_point: KeyPoint, judged: list[str], core_id: str
) -> None:
    key_point("1", "20", "3.4")
    desk.close_job(job_id)
    judged.clear()
    view = desk.open_job(job_id)
    assert view.findings.verdicts(core_id)["excitation"]
    assert judged == []
    assert core_id not in view.stale_core_ids


def test_an_old_rule_version_makes_every_core_stale_until_it_is_judged(
    desk: Desk, job_id: str, judged: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    desk.close_job(job_id)
    monkeypatch.setattr(core, "RULES_VERSION", "another")
    view = desk.open_job(job_id)
    assert len(view.stale_core_ids) == 6
    assert not desk.judge_stale(job_id, seconds=60.0).view.stale_core_ids


def test_a_little_time_judges_at_least_one_core(desk: Desk, job_id: str, judged: list[str]) -> None:
    desk.set_header(job_id, desk.view(job_id).job.header, frequency_rated_hz=60.0)
    before = len(desk.view(job_id).stale_core_ids)
    change = desk.judge_stale(job_id, seconds=-1.0)
    assert (before, len(change.view.stale_core_ids), len(change.core_ids)) == (6, 5, 1)


def test_whoever_asks_for_stale_findings_gets_new_ones(
    desk: Desk, job_id: str, core_id: str, key_point: KeyPoint, judged: list[str]
) -> None:
    key_point("1", "20", "3.4")
    judged.clear()
    desk.set_header(job_id, desk.view(job_id).job.header, frequency_rated_hz=60.0)
    view = desk.view(job_id)
    assert (judged, core_id in view.stale_core_ids) == ([], True)
    assert view.findings[core_id] == tuple(judge_core(view.job, next(_places(view, core_id)), view.takes))
    assert judged == [core_id]


def test_a_plate_makes_only_the_cores_of_its_position_stale(
    desk: Desk, job_id: str, judged: list[str]
) -> None:
    desk.add_position(job_id, "Bus side", core_classes=("5P20 15 VA",))
    desk.judge_stale(job_id, seconds=60.0)
    job = desk.view(job_id).job
    import dataclasses

    desk.set_ct(job_id, dataclasses.replace(job.positions[1].cts[0], serial_text="70311"))
    own = {one.core_id for ct in job.positions[1].cts for one in ct.cores}
    assert desk.view(job_id).stale_core_ids == own


def test_findings_of_stale_cores_are_stored_only_once_they_are_judged(
    desk: Desk, store: Store, job_id: str, core_id: str, judged: list[str]
) -> None:
    desk.set_header(job_id, desk.view(job_id).job.header, frequency_rated_hz=60.0)
    desk.settle(job_id)
    assert store.findings(job_id) == {}
    desk.judge_stale(job_id, seconds=60.0)
    desk.settle(job_id)
    assert len(store.findings(job_id)) == 6


def test_a_reading_reaches_sisters_and_the_other_cores_of_its_transformer(
    desk: Desk, job_id: str, core_id: str
) -> None:
    address = Address(core_id, "excitation", 1, "1", "v_excitation_v")
    assert len(desk.key(job_id, address, "20").core_ids) == 4


def test_damaged_stored_findings_are_judged_again(desk: Desk, job_id: str, core_id: str) -> None:
    from app.desk.results import CoreResult
    from app.jobstore import StoredFindings
    from ctcore.errors import BadInput

    def damaged():  # type: ignore[no-untyped-def]
        raise BadInput("finding", None, "is no finding")

    view = desk.view(job_id)
    stored = StoredFindings({"ratio": "within"}, "ab", "7", damaged)
    result = CoreResult(view.job, next(_places(view, core_id)), takes=view.takes, stored=stored)
    assert result.findings == view.findings[core_id]


def _places(view, core_id):  # type: ignore[no-untyped-def]
    from ctcore.job import places

    return (place for place in places(view.job) if place.core.core_id == core_id)
