"""Excitation curves of the takes on screen, worked out once while what they rest on stays the same."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeVar

from ctcore.judgement.excitation_curve import CurveView
from ctcore.judgement.excitation_targets import curve_of
from ctcore.procedure import Scene
from ctcore.takes import Take

T = TypeVar("T")
_KEPT_COUNT: Final = 256


class CurveStore:
    """Remembers the curve of a take, and what was drawn of it, by the objects that they were made from.

    What did not change comes from the desk as the very same object; the objects are held, so that no other
    one can come to have their identity.
    """

    def __init__(self) -> None:
        self._found: dict[tuple[object, ...], tuple[tuple[object, ...], object]] = {}

    def view(self, scene: Scene, take: Take) -> CurveView:
        """The curve of a take with the next voltage, which depends on the winding resistance of record."""
        job = scene.job
        rests_on = (
            take, scene.core, scene.ct, scene.position, job.references, job.instruments,
            scene.takes.get((scene.core.core_id, "resistance")),
        )  # fmt: skip
        return self.kept(("curve", job.frequency_rated_hz), rests_on, lambda: curve_of(scene, take))

    def found(self, name: tuple[object, ...], rests_on: tuple[object, ...]) -> object | None:
        """What was made for these objects before, or None."""
        known = self._found.get((*name, *map(id, rests_on)))
        return None if known is None else known[1]

    def kept(self, name: tuple[object, ...], rests_on: tuple[object, ...], make: Callable[[], T]) -> T:
        """What `make` gives, made once for these objects."""
        key = (*name, *map(id, rests_on))
        found = self._found.get(key)
        if found is None:
            if len(self._found) >= _KEPT_COUNT:
                self._found.clear()
            found = (rests_on, make())
            self._found[key] = found
        return found[1]  # type: ignore[return-value]
