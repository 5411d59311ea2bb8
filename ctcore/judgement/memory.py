"""What was judged once is remembered while everything that it was judged from stays the same object.

One reading changes, and all else of the transformer is asked for again: takes and plates that did not change
come as the very same objects, so that identity tells what is still good without comparing contents.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from operator import is_
from typing import TypeVar

from ctcore.procedure import Scene
from ctcore.takes import Take

T = TypeVar("T")
Judging = Callable[[Scene, Take], list[T]]
Tests = tuple[str, ...] | Callable[[Take], tuple[str, ...]]
# A transformer asks for a few dozen again; more than this only keeps what nobody will ask for.
_REMEMBERED_COUNT = 256


class Seen:
    """A scene and take, equal to another one where all that is looked at is the same objects."""

    __slots__ = ("_hash", "_looked_at", "scene", "take")

    def __init__(self, scene: Scene, take: Take, looked_at: tuple[object, ...]) -> None:
        self.scene = scene
        self.take = take
        # The objects are held, so that no other object can come to have their identity.
        self._looked_at = looked_at
        self._hash = hash(tuple(map(id, looked_at)))

    def let_go(self) -> None:
        """Hold no longer the whole job: what was looked at is enough to be found again."""
        del self.scene, self.take

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Seen) and all(map(is_, self._looked_at, other._looked_at))


def remembered(
    *, own: Tests = (), sisters: tuple[str, ...] = (), transformer: tuple[str, ...] = ()
) -> Callable[[Judging[T]], Judging[T]]:
    """Remember what a judging function found from a scene and a take.

    The function looks at the take, the plates of the position, the references, instruments and frequency of
    the job, and at the takes of the tests named: `own` those of the same core (by the take where that
    depends on it), `sisters` those of the sister cores, `transformer` those of every core of the same
    transformer. A test that it looks at and that is not named would leave a stale finding standing.
    """

    def around(function: Judging[T]) -> Judging[T]:
        @lru_cache(maxsize=_REMEMBERED_COUNT)
        def found(seen: Seen) -> tuple[T, ...]:
            judged = tuple(function(seen.scene, seen.take))
            seen.let_go()
            return judged

        @wraps(function)
        def judging(scene: Scene, take: Take) -> list[T]:
            of_own = own(take) if callable(own) else own
            return list(found(Seen(scene, take, _looked_at(scene, take, of_own, sisters, transformer))))

        return judging

    return around


def kept_by_take(function: Callable[[Scene, Take], T]) -> Callable[[Scene, Take], T]:
    """Remember what a function makes of one take with the plates, instruments and frequency of the job alone.

    What it returns is shared by all who ask and is not to be changed.
    """

    @lru_cache(maxsize=_REMEMBERED_COUNT)
    def made(seen: Seen) -> T:
        result = function(seen.scene, seen.take)
        seen.let_go()
        return result

    @wraps(function)
    def asked(scene: Scene, take: Take) -> T:
        return made(Seen(scene, take, _looked_at(scene, take, (), (), ())))

    return asked


def _looked_at(
    scene: Scene, take: Take, own: tuple[str, ...], sisters: tuple[str, ...], transformer: tuple[str, ...]
) -> tuple[object, ...]:
    takes, core_id, job = scene.takes, scene.core.core_id, scene.job
    keys = [(core_id, name) for name in own]
    if sisters:
        keys += [(core.core_id, name) for _, core in scene.sisters() for name in sisters]
    if transformer:
        keys += [(core.core_id, name) for core in scene.ct.cores for name in transformer]
    return (
        take,
        scene.core,
        scene.ct,
        scene.position,
        job.references,
        job.instruments,
        # A frequency read anew is another object of equal value: equal texts make it one.
        _one_of(job.frequency_rated_hz),
        *(takes.get(key) for key in keys),
    )


@lru_cache(maxsize=64)
def _one_of(number: float) -> float:
    return number
