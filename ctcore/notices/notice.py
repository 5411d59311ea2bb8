"""What the program noticed by itself: one sentence with figures, at most an offer, never a correction."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ctcore.notices.sight import Sight


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure that a notice rests on, in the base unit named by `unit`; a word where it is no number."""

    name: str
    value: float | str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A field, and the text that would be keyed into it if the offer is taken."""

    core_id: str
    procedure_id: str
    take: int
    row: str
    quantity_id: str
    text: str


@dataclass(frozen=True, slots=True)
class Offer:
    """What can be keyed with one press; nothing of it happens by itself."""

    words: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing noticed: what, how much, against what, what else fits, and one question.

    `cores` are all cores that it is about, in the order of the sheet; `procedure`, `row` and `take` say where
    to look.
    """

    notice_id: str
    cores: tuple[str, ...]
    procedure: str
    row: str
    sentence: str
    evidence: tuple[Figure, ...] = ()
    offer: Offer | None = None
    take: int = 0


@dataclass(frozen=True, slots=True)
class NotJudged:
    """Why one thing could not be looked at on a core."""

    notice_id: str
    core: str
    reason: str


Answer = tuple[Notice, ...] | NotJudged


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeRow:
    """One thing that the program looks for. `look` is pure: what it found, nothing, or why it cannot tell."""

    notice_id: str
    name: str
    look: Callable[[Sight], Answer]
