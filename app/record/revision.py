"""A frozen revision of a job as canonical bytes, and the strict way back.

Numbers with a fraction stand as decimal strings, so that no reader's arithmetic can change a digit; whole
numbers stay numbers. A field that may hold a number or a word says which:
{"decimal": "2.63"} or {"text": "agrees"}.
"""

from __future__ import annotations

import dataclasses
import math
import re
import types
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any, Final, Literal, Union, cast, get_args, get_origin, get_type_hints

from app.record.act import ChainHead
from app.record.canonical import canonical_unfractioned, parse
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import Job
from ctcore.procedure import Derived

FORMAT: Final = "coreleaf-record"
VERSION: Final = 1

# RFC 8785 and every reader of JSON that counts in doubles.
_LARGEST_WHOLE: Final = 2**53 - 1
_DECIMAL: Final = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class DerivedOf:
    """The derived values of one take of a procedure on a core."""

    core_id: str
    procedure_id: str
    take: int
    values: tuple[Derived, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration:
    """What a person declares about the readings, with name and time; no cryptographic signature."""

    person_id: str
    name_text: str
    text: str
    at_utc: str
    utc_offset_minutes: int
    meaning: Literal["tested"] = "tested"


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A frozen revision: the job, what was found, who declared it, and where the chains stood."""

    program_version: str
    rules_version: str
    revision: int
    job: Job
    findings: tuple[Finding, ...]
    derived: tuple[DerivedOf, ...]
    declaration: Declaration
    heads: tuple[ChainHead, ...]
    frozen_at_utc: str
    replaces_digest: str | None = None
    reason_text: str = ""
    format: str = FORMAT
    version: int = VERSION


def to_bytes(record: Record) -> bytes:
    """The canonical bytes of the record; its digest is the digest of these."""
    # Assumption: fractions are spelled as texts, so that the fast way gives the same bytes.
    return canonical_unfractioned(_spelled(Record, record))


def from_bytes(data: bytes) -> Record:
    """The record of canonical bytes.

    Raises BadInput for another format or version, doubled or unknown names, missing ones, NaN, values of
    another kind, and for any other spelling of the same content.
    """
    structure = parse(data, where="record")
    _demand_format(structure)
    record = cast(Record, _read(Record, structure, "record"))
    if to_bytes(record) != data:
        raise BadInput(
            "record", "spelling", "is not spelled as this program spells it, in the one canonical form"
        )
    return record


def _demand_format(structure: object) -> None:
    if not isinstance(structure, dict) or structure.get("format") != FORMAT:
        raise BadInput("record.format", _shown(structure, "format"), f"{FORMAT} is wanted")
    version = structure.get("version")
    if isinstance(version, int) and not isinstance(version, bool) and version > VERSION:
        raise BadInput("record.version", version, "the record was made by a newer Coreleaf")
    if version != VERSION or isinstance(version, bool):
        raise BadInput("record.version", version, f"{VERSION} is wanted")


def _shown(structure: object, name: str) -> object:
    return structure.get(name) if isinstance(structure, dict) else type(structure).__name__


def _spelled(hint: Any, value: object) -> Any:
    if _is_number_or_text(hint):
        return _spelled_either(value)
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int) and not _wants_float(hint):
        if abs(value) > _LARGEST_WHOLE:
            raise BadInput("record", value, "is a larger number than a record may hold")
        return value
    if isinstance(value, int | float):
        return _decimal_text(float(value))
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        hints = _hints(type(value))
        return {
            entry.name: _spelled(hints[entry.name], getattr(value, entry.name))
            for entry in dataclasses.fields(value)
            if not (_is_later(entry) and getattr(value, entry.name) == entry.default)
        }
    if isinstance(value, tuple | list):
        element = get_args(hint)[0]
        return [_spelled(element, entry) for entry in value]
    return value


def _spelled_either(value: object) -> Any:
    if value is None:
        return None
    if isinstance(value, str):
        return {"text": value}
    return {"decimal": _decimal_text(float(cast(float, value)))}


def _decimal_text(value: float) -> str:
    if not math.isfinite(value):
        raise BadInput("record", value, "is not a number that a record may hold")
    return format(Decimal(repr(value)), "f")


def _read(hint: Any, value: object, where: str) -> object:
    if _is_number_or_text(hint):
        return _read_either(value, where)
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        (inner,) = (entry for entry in get_args(hint) if entry is not type(None))
        return None if value is None else _read(inner, value, where)
    if origin is Literal:
        if not isinstance(value, str) or value not in get_args(hint):
            raise BadInput(where, value, f"one of {', '.join(get_args(hint))} is wanted")
        return value
    if origin is tuple:
        if not isinstance(value, list):
            raise BadInput(where, value, "a list is wanted here")
        element = get_args(hint)[0]
        return tuple(_read(element, entry, f"{where}[{index}]") for index, entry in enumerate(value))
    if dataclasses.is_dataclass(hint):
        return _read_dataclass(cast(type, hint), value, where)
    return _read_scalar(hint, value, where)


def _read_dataclass(kind: type, value: object, where: str) -> object:
    if not isinstance(value, dict):
        raise BadInput(where, value, "a group of named values is wanted here")
    hints = _hints(kind)
    names = [entry.name for entry in dataclasses.fields(kind)]
    unknown = sorted(set(value) - set(names))
    if unknown:
        raise BadInput(f"{where}.{unknown[0]}", value[unknown[0]], "unknown name")
    missing = [
        entry.name for entry in dataclasses.fields(kind) if entry.name not in value and not _is_later(entry)
    ]
    if missing:
        raise BadInput(f"{where}.{missing[0]}", None, "is missing")
    present = [name for name in names if name in value]
    return kind(**{name: _read(hints[name], value[name], f"{where}.{name}") for name in present})


def _is_later(entry: dataclasses.Field[Any]) -> bool:
    """Whether records were frozen before there was such a field; it is spelled where it says something."""
    return bool(entry.metadata.get("later"))


def _read_scalar(hint: Any, value: object, where: str) -> object:
    if hint is float:
        if isinstance(value, str) and _DECIMAL.fullmatch(value) and math.isfinite(float(value)):
            return float(value)
        raise BadInput(where, value, "a decimal number as text is wanted")
    if type(value) is hint:
        return value
    words = {int: "a whole number", bool: "true or false", str: "text"}
    raise BadInput(where, value, f"{words[hint]} is wanted here")


def _read_either(value: object, where: str) -> float | str | None:
    if value is None:
        return None
    if isinstance(value, dict) and len(value) == 1:
        if isinstance(value.get("text"), str):
            return cast(str, value["text"])
        if "decimal" in value:
            return cast(float, _read_scalar(float, value["decimal"], f"{where}.decimal"))
    raise BadInput(where, value, "a decimal number or a text is wanted here")


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


@cache
def _is_number_or_text(hint: Any) -> bool:
    return {float, str} <= set(get_args(hint))


def _wants_float(hint: Any) -> bool:
    return hint is float or float in get_args(hint)
