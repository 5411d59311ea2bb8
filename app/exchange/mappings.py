"""What an office's own lists and instrument files mean by their headings, remembered for the next time."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from app.record.files import write_whole

FILE_NAME: Final = "columns.json"
MOST_REMEMBERED: Final = 200


def remembered(folder: Path, kind: str, headings: Sequence[str]) -> list[str] | None:
    """What the columns under these headings were taken for last time; None where they are new.

    `kind` is what was taken in: "plates", or the id of a test. A file that cannot be read remembers nothing.
    """
    found = _load(folder).get(_key(kind, headings))
    if (
        isinstance(found, list)
        and len(found) == len(headings)
        and all(isinstance(name, str) for name in found)
    ):
        return found
    return None


def remember(folder: Path, kind: str, headings: Sequence[str], names: Sequence[str]) -> None:
    """Keep what the columns were taken for; the oldest of many is forgotten."""
    kept = _load(folder)
    kept.pop(_key(kind, headings), None)
    kept[_key(kind, headings)] = list(names)
    newest = dict(list(kept.items())[-MOST_REMEMBERED:])
    folder.mkdir(parents=True, exist_ok=True)
    write_whole(folder / FILE_NAME, json.dumps(newest, indent=1, ensure_ascii=False).encode())


def _key(kind: str, headings: Sequence[str]) -> str:
    return "\n".join([kind, *(" ".join(heading.casefold().split()) for heading in headings)])


def _load(folder: Path) -> dict[str, Any]:
    try:
        found = json.loads((folder / FILE_NAME).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}
