"""What changed since the last look, as lines: judged ones, those judged no more, plates and terms."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Final

from app.desk.exceptions import ExceptionLine
from app.desk.looking import ChangedPart
from app.ui.review.lines import Wording
from app.ui.review.to_decide import DecideLine
from app.ui.texts import table, text

# Where the words of a field stand in the text table, by the kind of what changed.
_TABLES: Final = ("plate", "header", "tap", "instrument")


def changed_lines(words: Wording, lines: Sequence[DecideLine]) -> tuple[DecideLine, ...]:
    """Lines that are new, say something else or were answered, in the order of the sheet; then the rest.

    A test whose readings changed and whose lines say the same is told with all its lines.
    """
    changed = words.changed
    if changed is None:
        return ()
    told = {(line.core_id, line.procedure_id) for line in lines if line.key in changed.keys}
    found = []
    for line in lines:
        test = (line.core_id, line.procedure_id)
        count = changed.readings.get(test, 0)
        if not line.is_changed and (test in told or not count):
            continue
        if line.key in changed.keys:
            was = line.was_text.partition(": ")
            note = text("review.was", verdict=was[0], words=was[2]) if was[2] else text("review.is_new")
        elif count and test not in told:
            note = text("review.read_again", count=count)
        else:
            note = text("review.was_answered")
        found.append(dataclasses.replace(line, found_text=f"{line.found_text}\n{note}", is_changed=True))
    gone = [_gone(words.line(one), one) for one in changed.gone]
    parts = [_part(number, one) for number, one in enumerate(changed.parts)]
    return (*found, *gone, *parts)


def _gone(line: DecideLine, one: ExceptionLine) -> DecideLine:
    """A line that is judged no more; a retest brings another in its place."""
    note = text("review.gone", words=one.found_text)
    return dataclasses.replace(
        line, key=f"gone/{line.key}", verdict="not applicable", found_text=note, decided_text="",
        settled=True, allowed=(), reason_text="", asked="", is_changed=True,
    )  # fmt: skip


def _part(number: int, one: ChangedPart) -> DecideLine:
    nothing = text("review.nothing_there")
    told = [
        text("review.field_went", name=_name(name), old=old or nothing, new=new or nothing)
        for name, old, new in one.fields
    ]
    place = ": ".join(part for part in (text(f"review.part.{one.kind}"), one.place_text) if part)
    return DecideLine(
        key=f"part/{number}",
        core_id=one.core_id,
        procedure_id="",
        verdict="not applicable",
        place_text=place,
        found_text="\n".join(told),
        decided_text="",
        settled=True,
        allowed=(),
        reason_text="",
        is_changed=True,
    )


def _name(field: str) -> str:
    """The words of a field; where no form asks for it its own name in words."""
    known = table()
    for kind in _TABLES:
        if f"{kind}.{field}" in known:
            return known[f"{kind}.{field}"]
    return field.removesuffix("_text").replace("_", " ")
