"""One spelling of a structure as bytes (RFC 8785), its digest, and the strict way back."""

from __future__ import annotations

import hashlib
import json
from typing import Any, Final, NoReturn

import rfc8785

from ctcore.errors import BadInput

_GROUP_LENGTH: Final = 4
# Assumption: no structure of ours nests deeper than about a dozen levels; a hostile file may.
_DEEPEST: Final = 64


def canonical(structure: Any) -> bytes:
    """The canonical JSON bytes of dictionaries, lists, texts, numbers, truth values and None.

    Raises BadInput for what JSON cannot carry: NaN, infinities, lone surrogates, whole numbers beyond 2**53.

    >>> canonical({"b": 1.50, "a": [None, True]})
    b'{"a":[null,true],"b":1.5}'
    """
    try:
        return rfc8785.dumps(structure)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError, RecursionError) as problem:
        raise BadInput("record", type(structure).__name__, f"has no canonical form: {problem}") from problem


def canonical_unfractioned(structure: Any) -> bytes:
    """The canonical bytes of a structure without fractions whose names are plain ASCII, many times faster.

    Assumption: for texts, truth values, None and whole numbers below 2**53 the JSON of the standard library,
    with sorted names and no spaces, is what RFC 8785 asks for; a test holds the two against each other.

    >>> canonical_unfractioned({"b": 2, "a": "é"}) == canonical({"b": 2, "a": "é"})
    True
    """
    try:
        return json.dumps(structure, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode()
    except UnicodeEncodeError as problem:
        raise BadInput(
            "record", ascii(problem.object), "has no canonical form: half a character"
        ) from problem


def digest(data: bytes) -> str:
    """SHA-256 of the bytes in 64 small hexadecimal digits.

    >>> digest(b"abc")[:16]
    'ba7816bf8f01cfea'
    """
    return hashlib.sha256(data).hexdigest()


def digest_groups(hexadecimal: str) -> str:
    """A digest in groups of four, as it is printed and read aloud.

    >>> digest_groups("9a73fd9d00")
    '9a73 fd9d 00'
    """
    return " ".join(
        hexadecimal[start : start + _GROUP_LENGTH] for start in range(0, len(hexadecimal), _GROUP_LENGTH)
    )


def parse(data: bytes, *, where: str) -> Any:
    """The structure of JSON bytes; doubled keys, NaN, a byte order mark and broken text are refused.

    >>> parse(b'{"a": 1, "a": 2}', where="record")
    Traceback (most recent call last):
        ...
    ctcore.errors.BadInput: record: a: the same name stands twice
    """

    def refuse_constant(word: str) -> NoReturn:
        raise BadInput(where, word, "is not a number that a record may hold")

    def unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        built: dict[str, Any] = {}
        for name, value in pairs:
            if name in built:
                raise BadInput(where, name, "the same name stands twice")
            built[name] = value
        return built

    try:
        structure = json.loads(data.decode("utf-8"), object_pairs_hook=unique, parse_constant=refuse_constant)
    except UnicodeDecodeError as problem:
        raise BadInput(where, f"byte {problem.start}", "is not UTF-8 text") from problem
    except RecursionError as problem:
        raise BadInput(where, "nesting", "goes too deep") from problem
    except ValueError as problem:
        if isinstance(problem, BadInput):
            raise
        raise BadInput(where, "text", f"is not complete JSON: {problem}") from problem
    _refuse_depth(structure, where)
    return structure


def parse_canonical(data: bytes, *, where: str) -> Any:
    """The structure of canonical bytes; any other spelling of the same structure is refused.

    >>> parse_canonical(b'{"a": 1}', where="record")
    Traceback (most recent call last):
        ...
    ctcore.errors.BadInput: record: spelling: the bytes are not in the one canonical form
    """
    structure = parse(data, where=where)
    if canonical(structure) != data:
        raise BadInput(where, "spelling", "the bytes are not in the one canonical form")
    return structure


def _refuse_depth(structure: Any, where: str) -> None:
    level = [structure]
    for _ in range(_DEEPEST):
        level = [inner for entry in level if isinstance(entry, dict | list) for inner in _children(entry)]
        if not level:
            return
    raise BadInput(where, "nesting", "goes too deep")


def _children(entry: dict[str, Any] | list[Any]) -> list[Any]:
    return list(entry.values()) if isinstance(entry, dict) else entry
