"""A job with one of everything, and makers of acts and readings."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from app.jobstore import Store
from app.record.act import Act
from ctcore.job import (
    CT,
    Acknowledgement,
    Core,
    Deviation,
    Header,
    Instrument,
    Job,
    LimitOverride,
    Person,
    Position,
    Reading,
    ReferenceCurve,
    ReferencePoint,
    References,
    ReferenceValue,
    Remark,
    Tap,
)

AT_UTC = "2031-05-04T08:42:07.120Z"


def _core(core_id: str, number: int) -> Core:
    tap = Tap(
        tap_id=f"{core_id}.t1",
        terminals_text=f"{number}S1-{number}S2",
        i_primary_rated_a=600.0,
        i_secondary_rated_a=1.0,
    )
    return Core(core_id=core_id, number=number, class_text="5P20", taps=(tap,), service_tap_id=tap.tap_id)


def _ct(ct_id: str, phase_text: str) -> CT:
    return CT(ct_id=ct_id, phase_text=phase_text, cores=(_core(f"{ct_id}.c1", 1), _core(f"{ct_id}.c2", 2)))


@pytest.fixture
def job() -> Job:
    about = {"core_id": "a.c1", "procedure_id": "excitation"}
    when = {"at_utc": AT_UTC, "utc_offset_minutes": 120}
    return Job(
        job_id="j1",
        header=Header(number_text="1042", site_text="Fenmark", ambient_degc=11.5, zone="Europe/Oslo"),
        state="being_tested",
        phase_names=("L1", "L2"),
        positions=(
            Position(position_id="b1", name_text="Bay 1", cts=(_ct("a", "L1"), _ct("b", "L2"))),
            Position(position_id="b2", name_text="Bay 2", cts=(_ct("d", "L1"),)),
        ),
        instruments=(Instrument(instrument_id="m1", name_text="Bridge 4", spec_reading_percent=0.2),),
        people=(Person(person_id="p1", name_text="A. Tester"),),
        references=References(
            limit_overrides=(
                LimitOverride(
                    rule="r", core_id="a.c1", limit_low=None, limit_high=3.0, reason_text="x", person_text="y"
                ),
            ),
            curves=(
                ReferenceCurve(
                    core_id="a.c1",
                    tap_id="a.c1.t1",
                    kind="certificate",
                    source_text="works sheet",
                    frequency_hz=50.0,
                    voltage_response="mean",
                    points=(ReferencePoint(voltage_v=10.0, current_a=0.001),),
                ),
            ),
            values=(
                ReferenceValue(
                    core_id="a.c1",
                    row="t1",
                    quantity_id="r_winding_75degc_ohm",
                    kind="previous",
                    value=2.5,
                    source_text="sheet of 2021",
                ),
            ),
        ),
        acknowledgements=(
            Acknowledgement(caution_id="open_secondary", person_id="p1", **about, **when),
            Acknowledgement(caution_id="open_secondary", person_id="p1", text="again", **about, **when),
        ),
        remarks=(Remark(remark_id="n1", text="Terminal loose.", person_id="p1", **about, **when),),
        deviations=(Deviation(deviation_id="v1", found_text="No plate.", **about),),
    )


@pytest.fixture
def act() -> Callable[..., Act]:
    def make(kind: str = "reading", *, to: object = None, at_utc: str = AT_UTC) -> Act:
        return Act(kind, "p1", "A. Tester", at_utc, 120, "Europe/Oslo", {"row": "7"}, None, to)

    return make


@pytest.fixture
def reading() -> Callable[..., Reading]:
    numbers = itertools.count(1)

    def make(text: str = "265.2", **changed: object) -> Reading:
        values: dict[str, object] = {
            "reading_id": f"r{next(numbers)}",
            "core_id": "a.c1",
            "procedure_id": "excitation",
            "take": 1,
            "row": "7",
            "quantity_id": "v_excitation_v",
            "as_typed_text": text,
            "value_text": text,
            "person_id": "p1",
            "at_utc": AT_UTC,
            "utc_offset_minutes": 120,
            "device_id": "",
            "device_seq": 0,
        }
        return Reading(**{**values, **changed})

    return make


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "jobs.coreleaf"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    opened = Store.open(path, device_id="d1")
    yield opened
    opened.close()


@pytest.fixture
def filled(store: Store, job: Job, act: Callable[..., Act]) -> Store:
    store.create(job, act("job made"))
    return store
