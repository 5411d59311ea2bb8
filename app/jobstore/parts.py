"""A job taken apart into parts that are stored one by one, and put together again. Pure: no SQL here."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal, get_args

from ctcore import job as job_module
from ctcore import plain
from ctcore.errors import BadInput
from ctcore.job import CT, Job, Position, Reading

PartKind = Literal[
    "header",
    "position",
    "ct",
    "instrument",
    "person",
    "references",
    "acknowledgement",
    "remark",
    "deviation",
    "landing",
    "question",
]
PART_KINDS: Final[tuple[PartKind, ...]] = get_args(PartKind)

_HEADER_FIELDS: Final = ("job_id", "header", "state", "frequency_rated_hz", "phase_names", "attached")
_LISTS: Final[dict[PartKind, tuple[str, str]]] = {
    "instrument": ("instruments", "instrument_id"),
    "person": ("people", "person_id"),
    "remark": ("remarks", "remark_id"),
    "deviation": ("deviations", "deviation_id"),
    "landing": ("landings", "landing_id"),
    "question": ("questions", "question_id"),
}


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a job: `part_id` is unique in the job, `order` its place in its list."""

    part_id: str
    kind: PartKind
    order: int
    body: dict[str, Any]


def part_id_of(kind: PartKind, entry_id: str) -> str:
    """The id under which an entry is stored.

    >>> part_id_of("ct", "t1")
    'ct:t1'
    """
    return f"{kind}:{entry_id}"


def parts_of(job: Job) -> list[Part]:
    """Every part of a job but its readings; raises BadInput where two entries of a kind share an id."""
    title = {name: plain.flatten(getattr(job, name)) for name in _HEADER_FIELDS}
    parts = [Part("header", "header", 0, title)]
    parts.append(Part("references", "references", 0, plain.flatten(job.references)))
    for index, position in enumerate(job.positions):
        parts += _position_parts(index, position)
    for kind, (list_name, id_name) in _LISTS.items():
        for index, entry in enumerate(getattr(job, list_name)):
            parts.append(Part(part_id_of(kind, getattr(entry, id_name)), kind, index, plain.flatten(entry)))
    parts += _acknowledgement_parts(job)
    _refuse_doubles(parts)
    return parts


def changes(before: Job, after: Job) -> tuple[list[Part], list[str]]:
    """The parts that differ between two forms of a job, and the ids of those that went."""
    old = {part.part_id: part for part in parts_of(before)}
    new = parts_of(after)
    kept = {part.part_id for part in new}
    return [part for part in new if old.get(part.part_id) != part], [name for name in old if name not in kept]


def job_from_parts(parts: Iterable[Part], readings: Sequence[Reading] = ()) -> Job:
    """The job that the parts were taken from; raises BadInput where a part is missing or of another form."""
    by_kind: dict[PartKind, list[Part]] = {kind: [] for kind in PART_KINDS}
    for part in sorted(parts, key=lambda part: part.order):
        by_kind[part.kind].append(part)
    data = dict(_only(by_kind["header"], "header").body)
    data["references"] = _only(by_kind["references"], "references").body
    for kind, (list_name, _) in _LISTS.items():
        data[list_name] = [part.body for part in by_kind[kind]]
    data["acknowledgements"] = [part.body for part in by_kind["acknowledgement"]]
    data["positions"] = _positions(by_kind)
    return dataclasses.replace(job_module.from_plain(data), readings=tuple(readings))


def _position_parts(index: int, position: Position) -> list[Part]:
    bare = dataclasses.replace(position, cts=())
    body = plain.flatten(bare)
    del body["cts"]
    parts = [Part(part_id_of("position", position.position_id), "position", index, body)]
    for place, ct in enumerate(position.cts):
        parts.append(Part(part_id_of("ct", ct.ct_id), "ct", place, _ct_body(position, ct)))
    return parts


def _ct_body(position: Position, ct: CT) -> dict[str, Any]:
    body: dict[str, Any] = plain.flatten(ct)
    return {"position_id": position.position_id, **body}


def _acknowledgement_parts(job: Job) -> list[Part]:
    """Acknowledgements have no id of their own: what they are about and when stands for it."""
    parts: list[Part] = []
    seen: dict[str, int] = {}
    for index, entry in enumerate(job.acknowledgements):
        name = "/".join((entry.core_id, entry.procedure_id, entry.caution_id, entry.person_id, entry.at_utc))
        seen[name] = seen.get(name, 0) + 1
        suffix = f"/{seen[name]}" if seen[name] > 1 else ""
        part_id = part_id_of("acknowledgement", name + suffix)
        parts.append(Part(part_id, "acknowledgement", index, plain.flatten(entry)))
    return parts


def _positions(by_kind: dict[PartKind, list[Part]]) -> list[dict[str, Any]]:
    positions = {part.body["position_id"]: {**part.body, "cts": []} for part in by_kind["position"]}
    for part in by_kind["ct"]:
        body = dict(part.body)
        home = positions.get(body.pop("position_id", None))
        if home is None:
            raise BadInput("ct", part.part_id, "belongs to no position of the job")
        home["cts"].append(body)
    return list(positions.values())


def _only(parts: list[Part], kind: str) -> Part:
    if len(parts) != 1:
        raise BadInput(kind, len(parts), "a job has exactly one")
    return parts[0]


def _refuse_doubles(parts: list[Part]) -> None:
    seen: set[str] = set()
    for part in parts:
        if part.part_id in seen:
            raise BadInput(part.kind, part.part_id.partition(":")[2], "the same id stands twice in the job")
        seen.add(part.part_id)
