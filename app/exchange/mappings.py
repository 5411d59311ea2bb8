"""What an office's own lists and instrument files mean by their headings, remembered for the next time."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from app.exchange.columns import Layout
from app.exchange.tsv import MOST_LINES_ABOVE
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
    _keep(folder, _key(kind, headings), list(names))


def _keep(folder: Path, key: str, value: object) -> None:
    kept = _load(folder)
    kept.pop(key, None)
    kept[key] = value
    newest = dict(list(kept.items())[-MOST_REMEMBERED:])
    folder.mkdir(parents=True, exist_ok=True)
    write_whole(folder / FILE_NAME, json.dumps(newest, indent=1, ensure_ascii=False).encode())


def recognised(
    folder: Path, procedure_id: str, lines: Sequence[Sequence[str]]
) -> tuple[int, dict[str, Layout]]:
    """Which of these lines headed a block before (from 1; 0 for none), and how such blocks were understood.

    The layouts are those of the test, by the instrument that the block came from; "" is one nobody named.
    """
    kept = _load(folder)
    for number, line in enumerate(lines[:MOST_LINES_ABOVE], start=1):
        found = {}
        for key, value in kept.items():
            procedure, _, instrument = key.partition("\n")[0].partition("/")
            if procedure == procedure_id and key == _key(f"{procedure}/{instrument}", line):
                found[instrument] = _layout(value, len(line))
        known = {instrument: layout for instrument, layout in found.items() if layout is not None}
        if known:
            return number, known
    return 0, {}


def remember_layout(
    folder: Path, procedure_id: str, instrument: str, headings: Sequence[str], layout: Layout
) -> None:
    """Keep how an instrument's export was understood for a test, under its headings."""
    plain = " ".join(instrument.split())
    kept = {"columns": [list(pair) for pair in layout.columns or ()], "comma": layout.decimal_comma}
    _keep(folder, _key(f"{procedure_id}/{plain}", headings), kept)


def _layout(kept: object, width: int) -> Layout | None:
    """The layout that was kept; None where the file holds something else."""
    if not isinstance(kept, dict) or kept.get("comma") not in (None, True, False):
        return None
    pairs = kept.get("columns")
    if not isinstance(pairs, list) or len(pairs) != width:
        return None
    if not all(isinstance(pair, list) and [type(one) for one in pair] == [str, str] for pair in pairs):
        return None
    return Layout(columns=tuple((name, unit) for name, unit in pairs), decimal_comma=kept["comma"])


def _key(kind: str, headings: Sequence[str]) -> str:
    return "\n".join([kind, *(" ".join(heading.casefold().split()) for heading in headings)])


def _load(folder: Path) -> dict[str, Any]:
    try:
        found = json.loads((folder / FILE_NAME).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}
