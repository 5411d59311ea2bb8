"""Primary injection: the ratio through the whole circuit, and the residual between two phases."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, Literal

from ctcore import ratio
from ctcore.findings import Finding, Verdict
from ctcore.judgement.burden import tap_in_use
from ctcore.judgement.cells import Trouble, number, value_of
from ctcore.judgement.limit import Limit, against_limit, shown
from ctcore.judgement.meter import calibration_doubts
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.takes import Row, Take

ONE, TWO = "one_phase", "two_phases"
ROWS: Final = (
    FixedRow(row=ONE, words="This phase and the return"),
    FixedRow(row=TWO, words="This phase against the next"),
)
SHARE: Final = "i_residual_share_percent"
_CUSTOM: Final = "common practice, no source"
# Practice: two meters are never read at one moment; 3 % tells a ratio, no class. Residual between two phases
# below 5 % of the phase current, common practice, no source; the null itself is seen in the trade's books.
RATIO_PERCENT: Final = 3.0
NULL_PERCENT: Final = 5.0
TWICE_PERCENT: Final = 150.0
LEAST_PERCENT: Final = 25.0


@dataclass(frozen=True, slots=True)
class Phasor:
    """One current of an injection as a device read it; without its angle only its size is known."""

    take: int
    row: str
    device_text: str
    what: Literal["phase", "residual"]
    size_a: float
    angle_deg: float | None

    @property
    def along_a(self) -> float | None:
        """The part along the injected current; None where the angle was not read."""
        return None if self.angle_deg is None else self.size_a * math.cos(math.radians(self.angle_deg))

    @property
    def ahead_a(self) -> float | None:
        """The part that leads the injected current by a right angle; None where the angle was not read."""
        return None if self.angle_deg is None else self.size_a * math.sin(math.radians(self.angle_deg))


def _read(row: Row) -> Iterator[tuple[Literal["phase", "residual"], float, float | None]]:
    """Both currents of a row; of the residual no angle is read."""
    phase, residual = value_of(row, "i_secondary_a"), value_of(row, "i_residual_a")
    if phase is not None:
        yield "phase", phase, value_of(row, "phase_secondary_deg")
    if residual is not None:
        yield "residual", residual, None


def derive(scene: Scene, take: Take) -> list[Derived]:
    """Ratio error and residual share of each row."""
    derived = []
    for fixed in ROWS:
        error, share = _error_percent(scene, take, fixed.row), share_percent(take, fixed.row)
        if error is not None:
            derived.append(Derived(fixed.row, "ratio_error_percent", error))
        if share is not None:
            derived.append(Derived(fixed.row, SHARE, share))
    return derived


def judge(scene: Scene, take: Take) -> list[Finding]:
    """Ratio of each row, the whole residual of one phase, and the null between two."""
    found = []
    for fixed in ROWS:
        spot = Spot(scene, take, fixed.row)
        if take.row(fixed.row).cells:
            found += [_ratio(spot), _residual(spot)]
        else:
            text = f"{fixed.words}: no reading."
            found.append(told(spot, "i_secondary_a", "not tested", text, rule="injection.reading"))
    return found


def device(take: Take) -> str:
    """The device that a take was read at: each has its own take of record."""
    return (take.method.cell("device_read_text").value_text or "").strip()


def phasors(scene: Scene, core_id: str = "") -> tuple[Phasor, ...]:
    """What every device read of this core, or of a sister core, in the takes of record."""
    takes = scene.takes.get((core_id or scene.core.core_id, "injection"), ())
    of_record = {device(take): take for take in takes}
    return tuple(
        Phasor(take.take, fixed.row, device(take), what, value, angle_deg)
        for take in of_record.values()
        for fixed in ROWS
        for what, value, angle_deg in _read(take.row(fixed.row))
    )


def null_a(found: Iterable[Phasor]) -> float | None:
    """The residual below which two phases cancel, by the least phase current read between two; or None."""
    phases = [entry.size_a for entry in found if (entry.row, entry.what) == (TWO, "phase")]
    return min(phases) * NULL_PERCENT / 100.0 if phases else None


def share_percent(take: Take, row: str) -> float | None:
    """The residual in percent of the phase current of one row."""
    phase, residual = value_of(take.row(row), "i_secondary_a"), value_of(take.row(row), "i_residual_a")
    return None if not phase or residual is None else 100.0 * residual / phase


def _error_percent(scene: Scene, take: Take, row: str) -> float | None:
    tap = tap_in_use(scene)
    primary, secondary = value_of(take.row(row), "i_primary_a"), value_of(take.row(row), "i_secondary_a")
    if tap is None or not primary or not secondary or min(primary, secondary) <= 0.0:
        return None
    return float(ratio.ratio_error_percent(tap.k_rated_ratio, primary, secondary))


def _ratio(spot: Spot) -> Finding:
    rule = "injection.ratio"
    row = spot.take.row(spot.row)
    primary, secondary = number(row, "i_primary_a"), number(row, "i_secondary_a")
    for reading in (primary, secondary):
        if isinstance(reading, Trouble):
            return troubled(spot, "ratio_error_percent", reading, rule=rule)
    error = _error_percent(spot.scene, spot.take, spot.row)
    if error is None or isinstance(primary, Trouble) or isinstance(secondary, Trouble):
        return told(spot, "ratio_error_percent", "not tested", "No ratio of currents above zero.", rule=rule)
    doubts = (*calibration_doubts(spot.scene, (primary.reading, secondary.reading)), *_light(spot))
    limit = Limit(rule, -RATIO_PERCENT, RATIO_PERCENT, f"{_CUSTOM}: tells the ratio, not the class", _CUSTOM)
    return against_limit(
        spot, "ratio_error_percent", error, limit, doubts=doubts, beyond="refer", guarded=False
    )


def _residual(spot: Spot) -> Finding:
    rule = f"injection.residual_{spot.row}"
    reading = number(spot.take.row(spot.row), "i_residual_a")
    share = share_percent(spot.take, spot.row)
    if isinstance(reading, Trouble) or share is None:
        trouble = reading if isinstance(reading, Trouble) else Trouble("not tested", "No phase current.")
        return troubled(spot, SHARE, trouble, rule=rule)
    verdict: Verdict
    if spot.row == ONE:
        # One phase alone returns whole through the residual, whatever its polarity.
        limit = Limit(rule, 100.0 - NULL_PERCENT, 100.0 + NULL_PERCENT, _CUSTOM, _CUSTOM)
        return against_limit(spot, SHARE, share, limit, doubts=_light(spot), beyond="refer", guarded=False)
    verdict = "within" if share <= NULL_PERCENT else "outside" if share >= TWICE_PERCENT else "refer"
    doubts = _light(spot) if verdict == "within" else ()
    words = {
        "within": "the two phases cancel, as right polarity does.",
        "outside": "the two phases add: one of them is turned round.",
        "refer": "neither nothing nor twice the phase current. Is a phase open, or on another tap?",
    }[verdict]
    text = f"Residual {shown(SHARE, share)} of the phase current: {words}"
    return told(
        spot, SHARE, "refer" if doubts else verdict, " ".join((text, *doubts)), rule=rule, value=share,
        source=_CUSTOM, standing=_CUSTOM,
    )  # fmt: skip


def _light(spot: Spot) -> tuple[str, ...]:
    """Why the current injected is too little to prove anything; empty where it is enough."""
    primary, tap = number(spot.take.row(spot.row), "i_primary_a"), tap_in_use(spot.scene)
    if isinstance(primary, Trouble):
        return (primary.text,)
    percent = 0.0 if tap is None else 100.0 * primary.value / tap.i_primary_rated_a
    if percent >= LEAST_PERCENT:
        return ()
    return (f"Injected {shown('load_percent', percent)} of rated current; a quarter or more is asked for.",)
