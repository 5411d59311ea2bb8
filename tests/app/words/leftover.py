"""What of a text did not go through the tables: the language of the test marks all that did."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from ctcore.job import Job
from ctcore.judge import judge
from ctcore.notices import notices
from ctcore.takes import takes_of

_WORD: Final = re.compile(r"[^\W\d_]{3,}\b(?!…)")
_ACCENTED: Final = re.compile("[áéíóúñçš]")
_SIGNS: Final = frozenset(
    "mm² ctrl alt shift enter return esc tab del home end left right space down pgup pgdown pgdn".split()  # noqa: SIM905
)


def outside_marks(said: str) -> str:
    """The parts of a text outside every pair of angles.

    >>> outside_marks("Bay 4 ‹óné ‹tẃó› thréé›, core 1")
    'Bay 4 , core 1'
    >>> outside_marks("phášé~›: 3 A"), outside_marks("‹P1 áñd š…át ít~›, L1"), outside_marks("‹óné…, two")
    (': 3 A', ', L1', ', two')
    """
    kept: list[str] = []
    depth = 0
    for at, character in enumerate(said):
        depth += character == "‹"
        if depth == 0:
            kept.append(character)
        if character == "›" and depth == 0:
            # The end of a text that was broken into two lines.
            kept.clear()
        # A text that was cut for want of room lost the end of its mark, unless it was cut in its middle.
        cut_short = character == "…" and said.find("›", at) < 0
        depth = 0 if cut_short else max(0, depth - (character == "›"))
    return "".join(kept)


def words_in(said: str) -> set[str]:
    """Words of three letters and more, small."""
    return {word.casefold() for word in _WORD.findall(said)}


def kept_words(job: Job) -> set[str]:
    """Words that stand in the record: what people keyed, and what findings and notices say of it."""
    takes = takes_of(job.readings)
    found: set[str] = set(_SIGNS)
    for one in [dataclasses.asdict(job), *(dataclasses.asdict(entry) for entry in judge(job))]:
        for said in _strings(one):
            found |= words_in(said)
    for notice in notices(job, takes):
        found |= words_in(notice.sentence) | words_in(notice.offer.words if notice.offer else "")
    return found


def _strings(one: Any) -> Iterator[str]:
    if isinstance(one, str):
        yield one
    elif isinstance(one, Mapping):
        for value in one.values():
            yield from _strings(value)
    elif isinstance(one, Iterable):
        for value in one:
            yield from _strings(value)


def left_over(said: str, kept: set[str]) -> set[str]:
    """The words of a text that neither the tables nor the record told.

    A line of a text that was broken in two has lost its marks, but not its accents.
    """
    return {word for word in words_in(outside_marks(said)) - kept if not _ACCENTED.search(word)}
