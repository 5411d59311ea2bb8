"""The plain form of a part: where two differ, and one made of both."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import Any, Final

from app.record.canonical import canonical

Body = dict[str, Any]

# What is only ever added to, such as the steps of a comment: united, never asked about.
GROWING: Final = ("attached", "steps")
# Of the title block: it follows from the readings and the steps taken, and is no matter of opinion.
FOLLOWS: Final = "state"
# Entries of a list are told apart by these, as far as they have them.
_NAMES: Final = (
    "core_id", "tap_id", "kind", "row", "quantity_id", "name", "rule", "procedure_id", "kind_text",
    "number_text",
)  # fmt: skip
# A list of points is one curve: it is kept whole.
_WHOLE: Final = ("points", "procedures", "phase_names", "witnessed")


class _Missing:
    """What one side does not have at all."""


MISSING: Final = _Missing()
Choose = Callable[[str, Any, Any], Any]


def differing(one: Body, other: Body) -> list[str]:
    """The fields in which two forms differ, as paths.

    >>> differing({"a": 1, "b": {"c": 2}}, {"a": 1, "b": {"c": 3}})
    ['b/c']
    """
    found: list[str] = []

    def note(path: str, ours: Any, _theirs: Any) -> Any:
        found.append(path)
        return ours

    combined(one, other, note)
    return found


def combined(one: Any, other: Any, choose: Choose, path: str = "") -> Any:
    """One form of two; `choose` says which of two values that differ, by the path of their field."""
    if one is not MISSING and other is not MISSING and one == other:
        return one
    name = path.rpartition("/")[2]
    if isinstance(one, dict) and isinstance(other, dict):
        return _combined_groups(one, other, choose, path)
    if isinstance(one, list) and isinstance(other, list) and name not in _WHOLE:
        if name in GROWING:
            return _grown([*one, *other])
        ours, theirs = _by_name(one), _by_name(other)
        if ours is not None and theirs is not None:
            return list(_combined_groups(ours, theirs, choose, path).values())
    return choose(path, one, other)


def joined(first: Body, second: Body) -> Body:
    """The first form, with what only the second one has: nothing that one side has is left out."""
    made: Body = combined(first, second, lambda _path, ours, theirs: theirs if ours is MISSING else ours)
    return made


def bare(body: Body) -> Body:
    """A form without what only grows or follows: what is left is what somebody said."""
    return {name: [] if name in GROWING else value for name, value in body.items() if name != FOLLOWS}


def grown_together(entries: Iterable[tuple[str, str]]) -> Body:
    """The growing lists by name, out of their entries as text."""
    lists: dict[str, list[Any]] = {}
    for name, text in sorted(entries):
        lists.setdefault(name, []).append(json.loads(text))
    return {name: _grown(its) for name, its in lists.items()}


def with_field(body: Body, field: str, source: Body) -> Body:
    """A form with one field as another has it."""
    made: Body = combined(body, source, lambda path, ours, theirs: theirs if path == field else ours)
    return made


def value_at(body: Body, field: str) -> Any:
    """What stands in a field; MISSING where the form has no such entry."""
    here: Any = body
    for step in field.split("/"):
        if isinstance(here, list):
            here = _by_name(here) or {}
        if not isinstance(here, dict) or step not in here:
            return MISSING
        here = here[step]
    return here


def _combined_groups(one: Body, other: Body, choose: Choose, path: str) -> Body:
    made: Body = {}
    for name in [*one, *(name for name in other if name not in one)]:
        here = f"{path}/{name}" if path else str(name)
        if here == FOLLOWS:
            made[name] = one.get(name, other.get(name))
            continue
        value = combined(one.get(name, MISSING), other.get(name, MISSING), choose, here)
        if value is not MISSING:
            made[name] = value
    return made


def _by_name(entries: list[Any]) -> Body | None:
    """The entries of a list by what tells them apart; None where nothing does."""
    named: Body = {}
    for entry in entries:
        if not isinstance(entry, dict):
            return None
        name = "+".join(str(entry[its]).replace("/", "|") for its in _NAMES if its in entry)
        if not name or name in named:
            return None
        named[name] = entry
    return named


def _grown(entries: list[Any]) -> list[Any]:
    """Every entry once, in the order of the clock; a file that one side struck is struck."""
    by_key: dict[bytes, Any] = {}
    for entry in entries:
        bare = {name: value for name, value in entry.items() if name != "struck_text"}
        known = by_key.setdefault(canonical(bare), entry)
        if entry.get("struck_text", "") > known.get("struck_text", ""):
            by_key[canonical(bare)] = entry
    return [by_key[key] for key in sorted(by_key, key=lambda key: (by_key[key].get("at_utc", ""), key))]
