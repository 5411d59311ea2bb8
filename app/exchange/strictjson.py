"""JSON read so that nothing in it can be taken two ways.

Every JSON library at hand accepts a name that stands twice and keeps one of the two values without a word;
some take NaN. Here both are refused, by place.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from typing import Any, Final

from ctcore.errors import BadInput

LARGEST_BYTES: Final = 64 * 1024 * 1024
DEEPEST: Final = 32
# A job of 100 000 readings has a tenth of these; a file of nothing but brackets would fill the memory.
MOST_GROUPS: Final = 2_000_000
MOST_VALUES: Final = 10_000_000

_BYTE_ORDER_MARKS: Final = (
    (b"\xef\xbb\xbf", "starts with a byte order mark; save it as UTF-8 without one"),
    (b"\xff\xfe", "is UTF-16 or UTF-32; a job file is UTF-8"),
    (b"\xfe\xff", "is UTF-16 or UTF-32; a job file is UTF-8"),
    (b"\x00\x00\xfe\xff", "is UTF-32; a job file is UTF-8"),
)
# Format: line end, carriage return and tab may stand in a remark; no store and no sheet takes the others.
_UNFIT_MARKS: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")


class _Doubled(dict[str, Any]):
    """A group in which one name stands twice."""

    name: str


def parse(data: bytes) -> Any:
    """The value that the bytes hold; `BadInput` names place and reason where they hold none, or two.

    >>> parse(b'{"a": [1, 2.5, null]}')
    {'a': [1, 2.5, None]}
    >>> parse(b'{"a": {"b": 1, "b": 2}}')
    Traceback (most recent call last):
        ...
    ctcore.errors.BadInput: job.a.b: None: stands twice in one group
    """
    text = _text_of(data)
    try:
        value = json.loads(
            text,
            object_pairs_hook=_group,
            parse_constant=_refuse_constant,
            parse_int=_whole_number,
            parse_float=_number,
        )
    except RecursionError:
        raise BadInput("", None, f"is nested more than {DEEPEST} deep; no job file is") from None
    except json.JSONDecodeError as problem:
        raise BadInput("", None, _syntax_reason(text, problem)) from None
    for place, reason in _faults(value, "job", 0):
        raise BadInput(place, None, reason)
    return value


def _text_of(data: bytes) -> str:
    if not data.strip():
        raise BadInput("", None, "is empty")
    if len(data) > LARGEST_BYTES:
        raise BadInput("", None, f"is larger than {LARGEST_BYTES // 1024 // 1024} MB; no job file is")
    for mark, reason in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            raise BadInput("", None, reason)
    if data.count(b"{") + data.count(b"[") > MOST_GROUPS or data.count(b",") > MOST_VALUES:
        raise BadInput("", None, "holds more values than a job file can")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as problem:
        raise BadInput("", None, f"is not UTF-8 text: byte {problem.start + 1} cannot be read") from None


def _syntax_reason(text: str, problem: json.JSONDecodeError) -> str:
    where = f"line {problem.lineno} column {problem.colno}"
    # The decoder names the start of a text that never ends, and the end of the file for all else cut off.
    if problem.pos >= len(text.rstrip()) or problem.msg.startswith("Unterminated string"):
        return f"is cut off: it stops short ({where})"
    if problem.msg.startswith("Extra data"):
        return f"goes on after its end ({where})"
    return f"is not JSON ({where})"


def _group(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) == len(pairs):
        return found
    seen: set[str] = set()
    doubled = _Doubled(found)
    doubled.name = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]
    return doubled


def _refuse_constant(name: str) -> Any:
    raise BadInput("", None, f"holds {name}; an unknown number is null in a job file")


def _whole_number(text: str) -> int:
    # Format: past 18 digits the store's whole numbers end and another reader's rounding begins.
    if len(text.lstrip("-")) > 18:
        raise BadInput("", None, f"holds a whole number of {len(text)} digits; at most 18 are taken")
    return int(text)


def _number(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise BadInput("", None, f"holds {text[:20]}, which no computer number can hold")
    return number


def _faults(value: Any, place: str, depth: int) -> Iterator[tuple[str, str]]:
    """Places with the reason why what stands there is not taken, in the order of the file."""
    if depth > DEEPEST:
        yield place[:60], f"is nested more than {DEEPEST} deep; no job file is"
    elif isinstance(value, dict):
        if isinstance(value, _Doubled):
            yield f"{place}.{value.name}", "stands twice in one group"
        for name, entry in value.items():
            if _UNFIT_MARKS.search(name):
                yield place, "a name in this group holds a control character"
            yield from _faults(entry, f"{place}.{name}", depth + 1)
    elif isinstance(value, list):
        for index, entry in enumerate(value):
            yield from _faults(entry, f"{place}[{index}]", depth + 1)
    elif isinstance(value, str) and _UNFIT_MARKS.search(value):
        yield place, "holds a control character or half of a character"
