"""What can be given to who helps: versions, preferences without names, log, reports, counts. No reading.

Every paper is shown in full before anything is written, and what is written is what was shown.
"""

from __future__ import annotations

import io
import zipfile
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app import reports
from app.log import Log
from app.record.files import write_whole
from app.settings import ROWS

if TYPE_CHECKING:
    from app.desk.desk import Desk

# 1 January 2000: the same papers give the same bytes.
_UNDATED: Final = (2000, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One file of the bundle: its name in it, and all that it says."""

    name: str
    words: str


def papers(desk: Desk) -> tuple[Paper, ...]:
    """Every paper of the bundle."""
    folder = desk.settings.folder
    found = [
        Paper(name="versions.txt", words=_versions()),
        Paper(name="preferences.txt", words=_preferences(desk)),
        Paper(name="counts.txt", words=_counts(desk)),
    ]
    listed = ((Log.files_in(folder), "log"), (reports.reports_in(folder), "reports"))
    for paths, where in listed:
        found += [Paper(name=f"{where}/{path.name}", words=_read(path)) for path in paths]
    return tuple(found)


def write(path: Path, shown: Sequence[Paper]) -> Path:
    """Write the papers that were shown, all of them and nothing else, as one file."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as bundle:
        for paper in shown:
            about = zipfile.ZipInfo(paper.name, _UNDATED)
            about.compress_type = zipfile.ZIP_DEFLATED
            bundle.writestr(about, paper.words)
    write_whole(path, packed.getvalue())
    return path


def _versions() -> str:
    from app.about import libraries, summary

    return "\n".join([*summary(), "", *(one.name_text for one in libraries()), ""])


def _preferences(desk: Desk) -> str:
    """What was chosen; of what was typed only whether anything was."""
    lines = []
    for row in ROWS:
        value = desk.settings.get(row.name)
        lines.append(f"{row.name}: {value if row.choices else 'stated' if value else 'not stated'}")
    lines.append(f"training: {'yes' if desk.settings.training else 'no'}")
    return "\n".join([*lines, ""])


def _counts(desk: Desk) -> str:
    store, lines = desk.store, desk.jobs()
    states = Counter(line.state for line in lines)
    cores = sum(line.core_count for line in lines)
    heads = store.heads()
    return "\n".join(
        [
            f"jobs: {len(lines)}",
            *(f"jobs {state}: {count}" for state, count in sorted(states.items())),
            f"cores: {cores}",
            f"entries in the trail: {sum(head.n for head in heads)}, of {len(heads)} devices",
            f"size of the store: {store.path.stat().st_size} bytes",
            f"writing: {'no' if store.read_only else 'yes'}",
            "",
        ]
    )


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8", errors="replace")
    except OSError as problem:
        return f"could not be read: {type(problem).__name__}\n"
