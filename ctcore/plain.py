"""Frozen dataclasses to and from plain dictionaries, strictly by their type hints."""

from __future__ import annotations

import dataclasses
import functools
import math
import types
from collections.abc import Callable
from typing import Any, Final, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from ctcore.errors import BadInput

T = TypeVar("T")
Converter = Callable[[object, str], object]

# Format: a field that came later is left out of a frozen record while it holds its default, so that a record
# frozen before there was such a field still reads, and still has the digest it had.
LATER: Final = {"later": True}


def build(kind: type[T], data: object, where: str) -> T:
    """An instance of the dataclass `kind` from a dictionary; unknown and missing keys are refused by name."""
    return cast(T, _build_dataclass(kind, data, where))


def flatten(value: object) -> Any:
    """Dataclasses become dictionaries and tuples become lists, all the way down."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {name: flatten(getattr(value, name)) for name in _names(type(value))}
    if isinstance(value, tuple | list):
        return [flatten(entry) for entry in value]
    return value


@functools.cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(entry.name for entry in dataclasses.fields(kind))


@functools.cache
def _plan(kind: type) -> dict[str, tuple[Converter, bool]]:
    """How each field of a dataclass is made from plain data, and whether it must be there; found once."""
    hints = get_type_hints(kind)
    return {
        entry.name: (
            _converter(hints[entry.name]),
            entry.default is dataclasses.MISSING and entry.default_factory is dataclasses.MISSING,
        )
        for entry in dataclasses.fields(kind)
    }


def _build_dataclass(kind: type, data: object, where: str) -> object:
    if not isinstance(data, dict):
        raise BadInput(where, data, "a group of named values is wanted here")
    plan = _plan(kind)
    if not data.keys() <= plan.keys():
        unknown = min(str(key) for key in data.keys() - plan.keys())
        raise BadInput(f"{where}.{unknown}", data.get(unknown), "unknown name")
    values = {}
    for name, (convert, required) in plan.items():
        if name in data:
            values[name] = convert(data[name], f"{where}.{name}")
        elif required:
            raise BadInput(f"{where}.{name}", None, "is missing")
    return kind(**values)


@functools.cache
def _converter(hint: Any) -> Converter:
    """What makes a value of that type hint out of plain data."""
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        (inner,) = (entry for entry in get_args(hint) if entry is not type(None))
        return functools.partial(_convert_optional, _converter(inner))
    if origin is Literal:
        return functools.partial(_convert_choice, get_args(hint))
    if origin is tuple:
        return functools.partial(_convert_list, _converter(get_args(hint)[0]))
    if dataclasses.is_dataclass(hint):
        return functools.partial(_build_dataclass, cast(type, hint))
    return functools.partial(_convert_scalar, hint)


def _convert_optional(inner: Converter, value: object, where: str) -> object:
    return None if value is None else inner(value, where)


def _convert_choice(choices: tuple[object, ...], value: object, where: str) -> object:
    if value not in choices or isinstance(value, bool):
        raise BadInput(where, value, f"one of {', '.join(map(str, choices))} is wanted")
    return value


def _convert_list(element: Converter, value: object, where: str) -> object:
    if not isinstance(value, list | tuple):
        raise BadInput(where, value, "a list is wanted here")
    return tuple(element(entry, f"{where}[{index}]") for index, entry in enumerate(value))


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
