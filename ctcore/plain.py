"""Frozen dataclasses to and from plain dictionaries, strictly by their type hints."""

from __future__ import annotations

import dataclasses
import functools
import math
import types
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from ctcore.errors import BadInput

T = TypeVar("T")


def build(kind: type[T], data: object, where: str) -> T:
    """An instance of the dataclass `kind` from a dictionary; unknown and missing keys are refused by name."""
    return cast(T, _build_dataclass(kind, data, where))


def flatten(value: object) -> Any:
    """Dataclasses become dictionaries and tuples become lists, all the way down."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {entry.name: flatten(getattr(value, entry.name)) for entry in dataclasses.fields(value)}
    if isinstance(value, tuple | list):
        return [flatten(entry) for entry in value]
    return value


@functools.cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _build_dataclass(kind: type, data: object, where: str) -> object:
    if not isinstance(data, dict):
        raise BadInput(where, data, "a group of named values is wanted here")
    hints = _hints(kind)
    fields = {entry.name: entry for entry in dataclasses.fields(kind)}
    unknown = sorted(str(key) for key in data.keys() - fields.keys())
    if unknown:
        raise BadInput(f"{where}.{unknown[0]}", data.get(unknown[0]), "unknown name")
    values = {}
    for name, entry in fields.items():
        if name in data:
            values[name] = _convert(hints[name], data[name], f"{where}.{name}")
        elif entry.default is dataclasses.MISSING and entry.default_factory is dataclasses.MISSING:
            raise BadInput(f"{where}.{name}", None, "is missing")
    return kind(**values)


def _convert(hint: Any, value: object, where: str) -> object:
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        return _convert_optional(hint, value, where)
    if origin is Literal:
        if value not in get_args(hint) or isinstance(value, bool):
            raise BadInput(where, value, f"one of {', '.join(map(str, get_args(hint)))} is wanted")
        return value
    if origin is tuple:
        if not isinstance(value, list | tuple):
            raise BadInput(where, value, "a list is wanted here")
        element = get_args(hint)[0]
        return tuple(_convert(element, entry, f"{where}[{index}]") for index, entry in enumerate(value))
    if dataclasses.is_dataclass(hint):
        return _build_dataclass(cast(type, hint), value, where)
    return _convert_scalar(hint, value, where)


def _convert_optional(hint: Any, value: object, where: str) -> object:
    if value is None:
        return None
    (inner,) = (entry for entry in get_args(hint) if entry is not type(None))
    return _convert(inner, value, where)


def _convert_scalar(hint: Any, value: object, where: str) -> object:
    if hint is float and isinstance(value, int | float) and not isinstance(value, bool):
        return _finite(value, where)
    if hint is int and isinstance(value, int) and not isinstance(value, bool):
        return value
    if hint is bool and isinstance(value, bool):
        return value
    if hint is str and isinstance(value, str):
        return value
    words = {float: "a number", int: "a whole number", bool: "true or false", str: "text"}
    raise BadInput(where, value, f"{words[hint]} is wanted here")


def _finite(value: int | float, where: str) -> float:
    try:
        number = float(value)
    except OverflowError:
        raise BadInput(where, "a number of many digits", "a finite number is wanted") from None
    if not math.isfinite(number):
        raise BadInput(where, value, "a finite number is wanted")
    return number
