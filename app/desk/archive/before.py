"""The last test of a core before the job in hand, out of the archive, as who decides looks at it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from app.desk.archive.trending import curve_of, taken_as
from app.desk.side_by_side import plain
from app.jobstore.archive import Asked
from app.report.wording import of_value, quantity_or_plain
from ctcore import figures
from ctcore.curve import compare, refusals
from ctcore.job import Job, Place, places
from ctcore.judge import Takes
from ctcore.judgement.excitation_alike import taken_as as taken_here
from ctcore.judgement.excitation_curve import measured
from ctcore.judgement.plate import tap_fed
from ctcore.procedure import Scene
from ctcore.procedures import PROCEDURES
from ctcore.takes import Take

if TYPE_CHECKING:
    from app.jobstore.archive import Archive, CoreHit, FiledLine, KeptCurve

# A figure by its test, its quantity, and the terminals or the place that it is of.
Key = tuple[str, str, str]
_DERIVED = tuple(dict.fromkeys(name for test in PROCEDURES for name in test.derived))


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierTest:
    """What was found at the test before; `curve` is that of the terminals in hand.

    `refusals` say why the two curves are not compared; `largest_percent` is the largest difference of current
    at equal voltage, and `at_voltage_v` where.
    """

    tested_on: str
    number_text: str
    revision: int
    found: Mapping[Key, str] = field(default_factory=dict)
    curve: KeptCurve | None = None
    refusals: tuple[str, ...] = ()
    largest_percent: float | None = None
    at_voltage_v: float | None = None

    @property
    def largest_text(self) -> str:
        """The largest difference with its voltage; empty where the curves are not compared."""
        if self.largest_percent is None or self.at_voltage_v is None:
            return ""
        percent = figures.signed(self.largest_percent, "percent", decimals=1)
        return f"{percent} % at {figures.with_unit(self.at_voltage_v, 'V', significant=3)}"


def earlier_test(
    archive: Archive, job: Job, takes: Takes, *, core_id: str, take: Take | None
) -> EarlierTest | None:
    """The last test of that core in another job, not after this one; None where the archive has none.

    The same core is the core of that number in the transformer of that serial number; `take` is the
    excitation test in hand, whose curve is held against the one before.
    """
    place = next(one for one in places(job) if one.core.core_id == core_id)
    found = _last(archive, job, place)
    if found is None:
        return None
    line, hit = found
    curve = None if take is None else _curve(archive, line, hit, place, take)
    told = EarlierTest(
        tested_on=line.tested_on,
        number_text=line.number_text,
        revision=line.revision,
        found=_figures(archive, line, hit),
        curve=curve,
    )
    if curve is None or take is None:
        return told
    scene = Scene(job, place.position, place.ct, place.core, takes)
    return _held(told, scene, take, curve)


def _last(archive: Archive, job: Job, place: Place) -> tuple[FiledLine, CoreHit] | None:
    serial = plain(place.ct.serial_text)
    if not serial:
        return None
    until = max((entry.at_utc[:10] for entry in job.readings), default="9999")
    lines = [hit.filed for hit in archive.search(Asked(serial_text=place.ct.serial_text)).hits]
    for line in sorted(lines, key=lambda one: (one.tested_on, one.leaf_no), reverse=True):
        if line.job_id == job.job_id or line.tested_on > until:
            continue
        for hit in archive.cores_of(line.leaf_no):
            if (plain(hit.serial_text), hit.core_number) == (serial, place.core.number):
                return line, hit
    return None


def _figures(archive: Archive, line: FiledLine, hit: CoreHit) -> dict[Key, str]:
    kept = [one for one in archive.values(hit.core_no, *_DERIVED) if one.leaf_no == line.leaf_no]
    keys = [(one.procedure_id, one.quantity_id, plain(one.row or one.subject_text)) for one in kept]
    # Several of one name, such as errors at several currents of one tap, are no single figure.
    often = Counter(keys)
    return {
        key: of_value(one.value, quantity_or_plain(one.quantity_id))
        for key, one in zip(keys, kept, strict=True)
        if one.value is not None and often[key] == 1
    }


def _curve(archive: Archive, line: FiledLine, hit: CoreHit, place: Place, take: Take) -> KeptCurve | None:
    tap = tap_fed(place.core, take)
    its = [one for one in archive.curves(hit.core_no) if one.leaf_no == line.leaf_no]
    same = [one for one in its if tap is not None and plain(one.terminals_text) == plain(tap.terminals_text)]
    return next(iter(same[-1:]), None)


def _held(told: EarlierTest, scene: Scene, take: Take, kept: KeptCurve) -> EarlierTest:
    own, other, tap = measured(scene, take).curve, curve_of(kept), tap_fed(scene.core, take)
    assert tap is not None
    here, there = taken_here(scene, take, tap), replace(taken_as(kept), tap_text=tap.terminals_text)
    if isinstance(other, str) or own is None:
        against = refusals(here, there)
        return replace(
            told, refusals=(*against, other if isinstance(other, str) else "no curve is drawn here")
        )
    found = compare(own, other, here, there)
    most = max(found.deviations, key=lambda one: abs(one.current_percent), default=None)
    return replace(
        told,
        refusals=found.refusals_text,
        largest_percent=None if most is None else most.current_percent,
        at_voltage_v=None if most is None else most.voltage_v,
    )
