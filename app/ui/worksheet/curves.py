"""Excitation curves of the takes on screen, worked out once for each set of readings."""

from __future__ import annotations

from typing import Final

from ctcore.judgement.excitation_curve import CurveView
from ctcore.judgement.excitation_targets import curve_of
from ctcore.procedure import Scene
from ctcore.takes import Take

_KEPT_COUNT: Final = 64


class CurveStore:
    """Remembers the curve of a take until one of its readings or the instruments change."""

    def __init__(self) -> None:
        self._found: dict[object, CurveView] = {}

    def view(self, scene: Scene, take: Take) -> CurveView:
        """The curve of a take."""
        key = (
            take.core_id,
            take.take,
            tuple(
                entry.reading_id
                for row in (take.method, *take.rows)
                for cell in row.cells.values()
                for entry in cell.standing
            ),
            scene.job.instruments,
            scene.job.frequency_rated_hz,
            scene.core,
        )
        if key not in self._found:
            if len(self._found) >= _KEPT_COUNT:
                self._found.clear()
            self._found[key] = curve_of(scene, take)
        return self._found[key]
