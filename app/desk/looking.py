"""What changed since somebody last looked at a job: judged lines, readings, plates, terms, answers.

The last look of each person at each job is remembered beside the preferences: it is no act, so no event.
"""

from __future__ import annotations

import contextlib
import dataclasses
import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from app.desk.commenting import CommentVerbs
from app.desk.exceptions import ExceptionLine, lines_of
from app.desk.wall_clock import moment
from app.jobstore import Part, changes, parts_of
from app.record.files import write_whole
from app.record.revision import from_bytes
from ctcore.findings import Finding
from ctcore.job import Job, places

_FILE: Final = "looks.json"
_PARTS: Final = ("header", "position", "ct", "instrument", "references")
Field = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class ChangedPart:
    """What is no reading and changed: its kind, where, a core of it, and each field with both its texts."""

    kind: str
    place_text: str
    core_id: str
    fields: tuple[Field, ...]


@dataclass(frozen=True, slots=True)
class Changed:
    """What changed since a look: `keys` are lines that are new or say something else, with what they said.

    `gone` are lines that are not judged any more, `readings` how many were added or replaced in each test.
    """

    since_revision: int
    since_text: str
    keys: Mapping[str, str]
    gone: tuple[ExceptionLine, ...]
    readings: Mapping[tuple[str, str], int]
    parts: tuple[ChangedPart, ...]
    answered: frozenset[str]


class LookVerbs(CommentVerbs):
    """Looking at a job again."""

    _found: tuple[tuple[str, int, int], Changed] | None = None

    def look(self, job_id: str) -> Changed | None:
        """Remember this look; what changed since the last one at an earlier revision, None at the first."""
        its = self._of(job_id)
        if not its.revisions:
            return None
        now = its.revisions[-1].revision
        since = self._remember(job_id, now)
        if since is None:
            return None
        revision, at_utc = since
        key = (job_id, revision, now)
        locked = its.last_record is not None and its.last_record.revision == now
        if self._found is None or self._found[0] != key or not locked:
            stored = next((one for one in self.store.revisions(job_id) if one.revision == revision), None)
            if stored is None:
                return None
            before = from_bytes(stored.record_bytes)
            text = moment(at_utc, self._stamp()[1])
            found = changed(
                (before.job, before.findings), (its.job, self._findings_to_decide(its)), revision, text
            )
            self._found = (key, found)
        me = self.settings.me()[0]
        answered = frozenset(
            remark.remark_id
            for remark in its.job.remarks
            if any(step.person_id != me and step.at_utc > at_utc for step in remark.steps)
        )
        return dataclasses.replace(self._found[1], answered=answered)

    def _remember(self, job_id: str, revision: int) -> tuple[int, str] | None:
        """Write this look down; the last one at an earlier revision."""
        path = self.settings.folder / _FILE
        looks = _read(path)
        mine = looks.setdefault(self.settings.me()[0], {})
        kept = mine.get(job_id)
        last = kept if _is_look(kept) else {}
        before: Any = {"revision": last["revision"], "at_utc": last["at_utc"]} if last else None
        if last and last["revision"] == revision:
            before = last.get("before")
        mine[job_id] = {"revision": revision, "at_utc": self._stamp()[0], "before": before}
        # A look that could not be remembered only marks too much next time.
        with contextlib.suppress(OSError):
            write_whole(path, json.dumps(looks, indent=1, sort_keys=True).encode())
        return (before["revision"], before["at_utc"]) if _is_look(before) else None


def changed(
    before: tuple[Job, Sequence[Finding]], now: tuple[Job, Sequence[Finding]], revision: int, text: str
) -> Changed:
    """What differs between two forms of a job with their findings."""
    old = {line.key: line for line in lines_of(*before)}
    new = {line.key: line for line in lines_of(*now)}
    keys = {
        key: old[key].found_text if key in old else ""
        for key, line in new.items()
        if key not in old or old[key].found_text != line.found_text
    }
    gone = tuple(line for key, line in old.items() if key not in new)
    known = {entry.reading_id for entry in before[0].readings}
    read = Counter(
        (entry.core_id, entry.procedure_id) for entry in now[0].readings if entry.reading_id not in known
    )
    return Changed(revision, text, keys, gone, read, tuple(_parts(before[0], now[0])), frozenset())


def _parts(before: Job, now: Job) -> Iterator[ChangedPart]:
    old, new = ({part.part_id: part for part in parts_of(job)} for job in (before, now))
    differing, removed = changes(before, now)
    for part_id in dict.fromkeys([*(part.part_id for part in differing), *removed]):
        was, became = old.get(part_id), new.get(part_id)
        part = became or was
        if part is None or part.kind not in _PARTS:
            continue
        fields = tuple(_differing(_body(was), _body(became)))
        if fields:
            yield ChangedPart(part.kind, *_place(now if became else before, part), fields)


def _body(part: Part | None) -> Mapping[str, Any]:
    """What of a part somebody stated; the state of a job and where a part belongs are not."""
    if part is None:
        return {}
    return {name: value for name, value in part.body.items() if name not in ("state", "position_id")}


def _place(job: Job, part: Part) -> tuple[str, str]:
    name = part.part_id.partition(":")[2]
    for place in places(job):
        if part.kind == "ct" and place.ct.ct_id == name:
            return f"{place.position.name_text} {place.ct.phase_text}", place.core.core_id
        if part.kind == "position" and place.position.position_id == name:
            return place.position.name_text, place.core.core_id
    return str(part.body.get("name_text", "")), ""


def _differing(was: Any, became: Any, name: str = "") -> Iterator[Field]:
    """Every leaf that differs, by the name of its field."""
    if isinstance(was, dict) or isinstance(became, dict):
        left, right = was or {}, became or {}
        for key in dict.fromkeys([*left, *right]):
            if not str(key).endswith("_id"):
                yield from _differing(left.get(key), right.get(key), str(key))
    elif _is_nested(was) or _is_nested(became):
        left, right = was or [], became or []
        for number in range(max(len(left), len(right))):
            pair = [one[number] if number < len(one) else None for one in (left, right)]
            yield from _differing(pair[0], pair[1], name)
    elif was != became and (was or became):
        yield name, _shown(was), _shown(became)


def _is_nested(value: Any) -> bool:
    return isinstance(value, list) and any(isinstance(entry, dict | list) for entry in value)


def _shown(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(str(entry) for entry in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _read(path: Path) -> dict[str, Any]:
    """The looks written down; none where the file is missing or damaged."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    whole = isinstance(found, dict) and all(isinstance(one, dict) for one in found.values())
    return found if whole else {}


def _is_look(kept: Any) -> bool:
    wanted = {"revision": int, "at_utc": str}
    return isinstance(kept, dict) and all(isinstance(kept.get(name), kind) for name, kind in wanted.items())
