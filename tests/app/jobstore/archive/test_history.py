"""The same core over the years, its sisters, and serial numbers that changed their phase."""

from __future__ import annotations

import dataclasses

import numpy as np

from app.jobstore.archive import Archive, Asked
from app.record.revision import Record
from tests.app.jobstore.archive.conftest import file, first
from tests.app.jobstore.archive.test_searching import changed, put


def on_day(record: Record, day: str) -> Record:
    readings = tuple(
        dataclasses.replace(entry, at_utc=day + entry.at_utc[10:]) for entry in record.job.readings
    )
    return dataclasses.replace(record, job=dataclasses.replace(record.job, readings=readings))


def on_phases(record: Record, **serials: str) -> Record:
    """The one transformer of the record once for each phase, with a serial number each."""
    (position,) = record.job.positions
    (ct,) = position.cts
    cts = tuple(
        dataclasses.replace(
            ct,
            ct_id=f"{ct.ct_id}.{phase}",
            phase_text=phase,
            serial_text=serial,
            cores=tuple(dataclasses.replace(core, core_id=f"{core.core_id}.{phase}") for core in ct.cores),
        )
        for phase, serial in serials.items()
    )
    job = dataclasses.replace(record.job, positions=(dataclasses.replace(position, cts=cts),))
    return dataclasses.replace(record, job=job)


def test_the_curves_of_a_core_are_those_that_were_read(archive: Archive) -> None:
    file(archive, first())
    (hit,) = archive.search(Asked()).hits
    curve = archive.curves(hit.cores[0].core_no)[0]

    assert len(curve.voltage_v) == len(curve.current_a) > 5
    assert np.all(np.diff(curve.voltage_v) > 0.0)
    assert curve.frequency_hz == 50.0


def test_a_core_is_followed_over_the_years_by_serial_and_number(archive: Archive) -> None:
    for place, (number, day) in enumerate([("A", "2035-05-04"), ("B", "2031-05-04"), ("C", "2041-05-04")]):
        put(archive, on_day(changed(number), day), place)
    core = archive.search(Asked(number_text="A")).hits[0].cores[0]

    curves = archive.curves(core.core_no)
    assert [one.number_text for one in dict.fromkeys(map(_plain, curves))] == ["B", "A", "C"]


@dataclasses.dataclass(frozen=True)
class _Plain:
    number_text: str


def _plain(curve: object) -> _Plain:
    return _Plain(curve.number_text)  # type: ignore[attr-defined]


def test_without_a_serial_number_a_core_is_the_same_in_its_own_record_alone(archive: Archive) -> None:
    for place, number in enumerate("AB"):
        put(archive, on_phases(changed(number), L1=""), place)
    core = archive.search(Asked(number_text="A")).hits[0].cores[0]

    assert {one.number_text for one in archive.curves(core.core_no)} <= {"A"}


def test_serial_numbers_that_changed_phases_are_noticed(archive: Archive) -> None:
    put(archive, on_phases(on_day(changed("A"), "2031-05-04"), L1="S 1", L2="S 2"), 0)
    put(archive, on_phases(on_day(changed("B"), "2036-05-04"), L1="S 2", L2="S 1"), 1)

    found = {one.serial_text: (one.phase_before_text, one.phase_text) for one in archive.swaps(1)}
    assert found == {"S 2": ("L2", "L1"), "S 1": ("L1", "L2")}
    assert archive.swaps(0) == []


def test_serial_numbers_that_stayed_are_not_noticed(archive: Archive) -> None:
    put(archive, on_phases(on_day(changed("A"), "2031-05-04"), L1="S 1", L2="S 2"), 0)
    put(archive, on_phases(on_day(changed("B"), "2036-05-04"), L1="S 1", L2="S 2"), 1)

    assert archive.swaps(1) == []


def test_values_of_a_core_stand_with_their_uncertainty_and_verdict(archive: Archive) -> None:
    file(archive, first())
    core = archive.search(Asked()).hits[0].cores[0]

    for kept in archive.values(core.core_no, "r_winding_75degc_ohm", "v_knee_iec_v"):
        assert kept.value is None or kept.value > 0.0
        assert kept.tested_on.startswith("20")
