"""Which pages: "all", "3", "1-3, 7" into numbers, and back."""

from __future__ import annotations

import re
from collections.abc import Sequence

from app.ui.texts import text

_PART = re.compile(r"(\d{1,5})(?:\s*(?:-|–|to)\s*(\d{1,5}))?")


class BadRange(ValueError):
    """What was typed names no pages of this sheet; the sentence says why."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def pages_of(typed: str, count: int) -> tuple[int, ...]:
    """The pages counted from 0, each once, in the order of the sheet; nothing typed means all.

    >>> pages_of("5, 1-3", 12)
    (0, 1, 2, 4)
    """
    if typed.strip().lower() in ("", text("print.all").lower()):
        return tuple(range(count))
    found: set[int] = set()
    for part in re.split(r"[,;]", typed):
        match = _PART.fullmatch(part.strip())
        if match is None:
            raise BadRange(text("print.no_range", part=part.strip() or typed))
        first, last = int(match[1]), int(match[2] or match[1])
        if first > last:
            raise BadRange(text("print.backwards", first=first, last=last))
        if first < 1 or last > count:
            raise BadRange(text("print.no_page", page=last if last > count else first, all=count))
        found.update(range(first - 1, last))
    return tuple(sorted(found))


def words_of(pages: Sequence[int]) -> str:
    """Pages as a person writes them.

    >>> words_of((0, 1, 2, 4))
    '1-3, 5'
    """
    runs: list[list[int]] = []
    for page in pages:
        if runs and page == runs[-1][-1] + 1:
            runs[-1].append(page)
        else:
            runs.append([page])
    return ", ".join(f"{run[0] + 1}-{run[-1] + 1}" if len(run) > 1 else str(run[0] + 1) for run in runs)
