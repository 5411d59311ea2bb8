"""What a notice may look at: one core with its readings, its sister phases and the curves of all of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import exp, log

from ctcore.job import CT, Core, Job, Place, Reading, Tap
from ctcore.judge import scene_of, takes_of_record
from ctcore.judgement.excitation_curve import CurveView, current_at, measured
from ctcore.judgement.plate import plate_trouble, same_tap, tap_fed
from ctcore.judgement.winding import Winding, winding_of_record
from ctcore.notices.notice import NotJudged
from ctcore.procedure import Scene
from ctcore.procedures import procedure
from ctcore.takes import Take

Takes = Mapping[tuple[str, str], tuple[Take, ...]]


@dataclass(frozen=True, slots=True)
class Curved:
    """One excitation curve of record: where it belongs, how it was taken, and its points."""

    scene: Scene
    take: Take
    tap: Tap
    view: CurveView

    @property
    def first_v(self) -> float:
        """The lowest voltage of the curve."""
        return self.view.curve.voltage_first_v if self.view.curve else 0.0

    @property
    def last_v(self) -> float:
        """The highest voltage of the curve."""
        return self.view.curve.voltage_last_v if self.view.curve else 0.0

    def current_a(self, voltage_v: float) -> float | None:
        """Exciting current at a voltage inside the readings, or None."""
        return current_at(self.view, voltage_v)

    @property
    def knee_v(self) -> float | None:
        """The 10/50 knee, or None where the readings do not hold it."""
        knee = self.view.knees.get("iec")
        return None if knee is None or isinstance(knee, str) else knee.voltage_v


@dataclass(frozen=True, slots=True)
class Sight:
    """One core as a notice sees it; curves are read once for the whole job."""

    scene: Scene
    curves: dict[str, tuple[Curved, ...]] = field(default_factory=dict)

    @property
    def core(self) -> Core:
        """The core looked at."""
        return self.scene.core

    @property
    def job(self) -> Job:
        """The job that it belongs to."""
        return self.scene.job

    def not_judged(self, notice_id: str, reason: str) -> NotJudged:
        """Why something could not be looked at on this core."""
        return NotJudged(notice_id, self.core.core_id, reason)

    def of_core(self, ct: CT, core: Core) -> Sight:
        """The same sight on another core of this position."""
        scene = self.scene
        return Sight(Scene(scene.job, scene.position, ct, core, scene.takes), self.curves)

    def sisters(self) -> list[Sight]:
        """The same core of the other phases: equal number, class and taps."""
        return [self.of_core(ct, core) for ct, core in self.scene.sisters()]

    def set_of_phases(self) -> list[Sight]:
        """The core of this number in every phase of the position, in the order of the phases."""
        return [
            self.of_core(ct, core)
            for ct in self.scene.position.cts
            for core in ct.cores
            if core.number == self.core.number
        ]

    def cores_of_transformer(self) -> list[Sight]:
        """Every core of this current transformer."""
        return [self.of_core(self.scene.ct, core) for core in self.scene.ct.cores]

    def takes_of_record(self, procedure_id: str) -> tuple[Take, ...]:
        """The takes of record of one test, one for each subject."""
        found = self.scene.takes.get((self.core.core_id, procedure_id), ())
        return takes_of_record(found, procedure(procedure_id))

    def curved(self) -> tuple[Curved, ...]:
        """Every excitation curve of record of this core that is a curve, with the tap it was fed at."""
        core_id = self.core.core_id
        if core_id not in self.curves:
            self.curves[core_id] = tuple(self._curved())
        return self.curves[core_id]

    def _curved(self) -> list[Curved]:
        if plate_trouble(self.core) is not None:
            return []
        found = []
        for take in self.takes_of_record("excitation"):
            tap = tap_fed(self.core, take)
            view = measured(self.scene, take)
            if tap is not None and view.curve is not None:
                found.append(Curved(self.scene, take, tap, view))
        return found

    def alike(self, curved: Curved) -> list[Curved]:
        """The curves of the sister phases on the same terminals, taken with like meters."""
        found = []
        for sister in self.sisters():
            for other in sister.curved():
                if same_tap(sister.core, curved.tap) is other.tap and _like_meters(curved.take, other.take):
                    found.append(other)
        return found

    def winding(self, tap: Tap) -> Winding | None:
        """The winding resistance of record of a tap."""
        record = winding_of_record(self.scene, self.core, tap)
        return None if record is None else record[0]


def sight_of(job: Job, place: Place, takes: Takes, curves: dict[str, tuple[Curved, ...]]) -> Sight:
    """The sight on one core of a job."""
    return Sight(scene_of(job, place, takes), curves)


def phase_words(sight: Sight) -> str:
    """Phase and core in words: "L2 core 1"."""
    return f"{sight.scene.ct.phase_text or 'CT'} core {sight.core.number}"


def listed(names: list[str]) -> str:
    """Names in a row: "L1, L2 and L3".

    >>> listed(["L1", "L2", "L3"]), listed(["L1"])
    ('L1, L2 and L3', 'L1')
    """
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def readings_of(take: Take) -> tuple[Reading, ...]:
    """Every reading in force of one take."""
    rows = (take.method, *take.rows)
    return tuple(cell.current for row in rows for cell in row.cells.values() if cell.current is not None)


def geometric_steps(low: float, high: float, count: int) -> list[float]:
    """Equal steps on a logarithmic scale, both ends included.

    >>> [round(step, 9) for step in geometric_steps(1.0, 100.0, 3)]
    [1.0, 10.0, 100.0]
    """
    span = log(high / low)
    return [low * exp(span * index / (count - 1)) for index in range(count)]


def _like_meters(one: Take, other: Take) -> bool:
    names = ("voltage_response", "current_response")
    return all(one.method.cell(name).value_text == other.method.cell(name).value_text for name in names)
