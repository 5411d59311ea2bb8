"""What must not go, because readings or remarks stand on it."""

from __future__ import annotations

from app.desk.merging.bodies import Body, joined
from app.desk.merging.versions import Version
from ctcore.job import Reading


class Needs:
    """Gathers what is referred to, and keeps a plate that one side took out while the other worked on it."""

    def __init__(self, readings: tuple[Reading, ...]) -> None:
        self._core_ids = {entry.core_id for entry in readings}
        self._rows = {(entry.core_id, entry.row) for entry in readings}
        self._instruments = {entry.instrument_id for entry in readings if entry.instrument_id}
        self._positions: set[str] = set()

    def note(self, part_id: str, body: Body) -> None:
        """Note what a part that stands refers to."""
        kind = part_id.partition(":")[0]
        if kind == "ct":
            self._positions.add(str(body["position_id"]))
        elif kind == "references":
            lists = (body.get(name, ()) for name in ("curves", "values", "expected", "limit_overrides"))
            self._core_ids |= {str(entry["core_id"]) for entries in lists for entry in entries}
        elif body.get("core_id"):
            self._core_ids.add(str(body["core_id"]))

    def rescued(
        self, part_id: str, live: tuple[Version, ...], known: tuple[Version, ...]
    ) -> tuple[Version, ...]:
        """The versions that stand, with the latest of those gone by that has what is needed and they lack."""
        has = self._has(part_id, [version.body for version in live if version.body is not None])
        kept = list(live)
        for version in reversed(known):
            if version in kept or version.body is None:
                continue
            wanted = self._has(part_id, [version.body])
            if wanted - has:
                kept.append(version)
                has |= wanted
        return tuple(sorted(kept, key=lambda one: one.stamp))

    def _has(self, part_id: str, bodies: list[Body]) -> set[tuple[str, ...]]:
        """What is needed of what these bodies have."""
        kind, _, name = part_id.partition(":")
        if not bodies:
            return set()
        if kind == "position":
            return {(name,)} if name in self._positions else set()
        if kind == "instrument":
            return {(name,)} if name in self._instruments else set()
        if kind != "ct":
            return set()
        body = bodies[-1]
        for earlier in bodies[:-1]:
            body = joined(body, earlier)
        cores = {core["core_id"]: core for core in body["cores"] if core["core_id"] in self._core_ids}
        taps = {
            (core_id, tap["tap_id"])
            for core_id, core in cores.items()
            for tap in core["taps"]
            if (core_id, tap["tap_id"]) in self._rows
        }
        return {(core_id,) for core_id in cores} | taps
