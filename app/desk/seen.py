"""What this user's profile remembers of stores: where each trail ended, and when the last copies were made.

It lies apart from the store, so that an older store that was put in its place is noticed.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from app.jobstore import Store
from app.record.act import ChainHead
from app.record.files import write_whole

_FILE: Final = "seen.json"
# Copies are noted by another thread than heads.
_TURN: Final = threading.Lock()


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenHead:
    """How far a trail went when it was last seen here."""

    n: int
    head: str
    at_utc: str


class Memory:
    """The file in the profile; one that cannot be read is taken for empty, since it only ever warns."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / _FILE

    def head(self, device_id: str) -> SeenHead | None:
        """The trail of a device as it was last seen; None where it never was."""
        found: Any = self._load().get("heads", {}).get(device_id)
        try:
            return SeenHead(n=int(found["n"]), head=str(found["head"]), at_utc=str(found["at_utc"]))
        except (KeyError, TypeError, ValueError):
            return None

    def last_seen(self) -> str:
        """When a store was last seen here; empty where none ever was."""
        found = [one for one in map(self.head, self._load().get("heads", {})) if one is not None]
        return max((one.at_utc for one in found), default="")

    def keep_heads(self, heads: Iterable[ChainHead], at: datetime) -> None:
        """Remember where trails end."""
        seen = {one.device_id: {"n": one.n, "head": one.head, "at_utc": _spelled(at)} for one in heads}
        self._keep("heads", seen)

    def copied_at(self, device_id: str, kind: str) -> datetime | None:
        """When the last copy of a store was checked, by where it went; None where none was."""
        try:
            return datetime.fromisoformat(self._load().get(kind, {})[device_id])
        except (KeyError, TypeError, ValueError):
            return None

    def devices_copied(self, kind: str) -> frozenset[str]:
        """The devices whose stores were copied from here."""
        return frozenset(self._load().get(kind, {}))

    def keep_copied(self, device_id: str, kind: str, at: datetime) -> None:
        """Remember that a copy was made and checked."""
        self._keep(kind, {device_id: _spelled(at)})

    def _load(self) -> dict[str, dict[str, Any]]:
        try:
            found: Any = json.loads(self._path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        named = found.items() if isinstance(found, dict) else ()
        return {name: values for name, values in named if isinstance(values, dict)}

    def _keep(self, name: str, more: dict[str, Any]) -> None:
        with _TURN:
            values = self._load()
            values[name] = {**values.get(name, {}), **more}
            self._path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(self._path, json.dumps(values, indent=1, sort_keys=True).encode(), mode=0o600)


def not_as_seen(store: Store, memory: Memory) -> str:
    """A sentence where the store is older than one seen here, or has gone another way; else empty."""
    from app.desk.wall_clock import moment

    heads = {one.device_id: one for one in store.heads()}
    for device_id in sorted({*heads, store.device_id}):
        seen, now = memory.head(device_id), heads.get(device_id)
        if seen is None:
            continue
        when = moment(seen.at_utc, 0)
        if now is None or now.n < seen.n:
            ends = now.n if now is not None else 0
            return (
                f"Nothing was changed. This store is older than one seen here on {when}: it ends at entry "
                f"{ends}, and {seen.n} were there. Look at the copies before you go on with it."
            )
        if store.head_at(device_id, seen.n) != seen.head:
            return (
                f"Nothing was changed. This store went another way than the one seen here on {when}: its "
                f"entry {seen.n} is another. Look at the copies before you go on with it."
            )
    return ""


def _spelled(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
