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
from typing import Any, Final, Literal, NamedTuple, Union, cast, get_args, get_origin, get_type_hints

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
_AS_IT_STANDS: Final = (str, bool, types.NoneType)
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
    if isinstance(value, _AS_IT_STANDS):
        return value
    if isinstance(value, int) and not _wants_float(hint):
        if abs(value) > _LARGEST_WHOLE:
            raise BadInput("record", value, "is a larger number than a record may hold")
        return value
    if isinstance(value, int | float):
        return _decimal_text(float(value))
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {
            one.name: _spelled(one.hint, getattr(value, one.name))
            for one in _fields(type(value))
            if not (one.is_later and getattr(value, one.name) == one.default)
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
    form, inner = _form(hint)
    if form == "either":
        return _read_either(value, where)
    if form == "maybe":
        return None if value is None else _read(inner, value, where)
    if form == "word":
        if not isinstance(value, str) or value not in inner:
            raise BadInput(where, value, f"one of {', '.join(inner)} is wanted")
        return value
    if form == "list":
        if not isinstance(value, list):
            raise BadInput(where, value, "a list is wanted here")
        return tuple(_read(inner, entry, f"{where}[{index}]") for index, entry in enumerate(value))
    if form == "group":
        return _read_dataclass(inner, value, where)
    return _read_scalar(inner, value, where)


def _read_dataclass(kind: type, value: object, where: str) -> object:
    if not isinstance(value, dict):
        raise BadInput(where, value, "a group of named values is wanted here")
    fields = _fields(kind)
    unknown = sorted(set(value).difference(one.name for one in fields))
    if unknown:
        raise BadInput(f"{where}.{unknown[0]}", value[unknown[0]], "unknown name")
    missing = [one.name for one in fields if one.name not in value and not one.is_later]
    if missing:
        raise BadInput(f"{where}.{missing[0]}", None, "is missing")
    present = (one for one in fields if one.name in value)
    return kind(**{one.name: _read(one.hint, value[one.name], f"{where}.{one.name}") for one in present})


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


class _Field(NamedTuple):
    """A field of a group; `is_later` where records were frozen before there was such a field.

    Such a one is spelled where it says something.
    """

    name: str
    hint: Any
    is_later: bool
    default: object


@cache
def _fields(kind: type) -> tuple[_Field, ...]:
    hints = get_type_hints(kind)
    return tuple(
        _Field(entry.name, hints[entry.name], bool(entry.metadata.get("later")), entry.default)
        for entry in dataclasses.fields(kind)
    )


@cache
def _form(hint: Any) -> tuple[str, Any]:
    """How a value of that kind stands in a record, and what it consists of."""
    origin, parts = get_origin(hint), get_args(hint)
    if _is_number_or_text(hint):
        return "either", None
    if origin in (Union, types.UnionType):
        (inner,) = (entry for entry in parts if entry is not type(None))
        return "maybe", inner
    if origin is Literal:
        return "word", parts
    if origin is tuple:
        return "list", parts[0]
    return "group" if dataclasses.is_dataclass(hint) else "scalar", hint


@cache
def _is_number_or_text(hint: Any) -> bool:
    return {float, str} <= set(get_args(hint))


def _wants_float(hint: Any) -> bool:
    return hint is float or float in get_args(hint)
