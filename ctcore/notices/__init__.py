"""What the program notices by itself. Each notice offers, never corrects, and ends in a question.

One small file for each subject; each thing looked for is one row.
"""

from __future__ import annotations

from typing import Final

from ctcore.job import Job, Place, places
from ctcore.notices.causes import CAUSES
from ctcore.notices.circuits import CIRCUITS
from ctcore.notices.copies import COPIES
from ctcore.notices.course import COURSE
from ctcore.notices.meters import METERS
from ctcore.notices.notice import Answer, Entry, Figure, Notice, NoticeRow, NotJudged, Offer
from ctcore.notices.order import ORDER
from ctcore.notices.plates import PLATES
from ctcore.notices.polarity import POLARITY
from ctcore.notices.resistance import RESISTANCE
from ctcore.notices.sight import Curved, Takes, sight_of
from ctcore.notices.slips import SLIPS
from ctcore.notices.swaps import SWAPS
from ctcore.notices.terminals import TERMINALS

NOTICES: Final[tuple[NoticeRow, ...]] = (
    *TERMINALS,
    *POLARITY,
    *SWAPS,
    *CAUSES,
    *ORDER,
    *RESISTANCE,
    *COURSE,
    *SLIPS,
    *COPIES,
    *METERS,
    *PLATES,
    *CIRCUITS,
)


def notices(job: Job, takes: Takes) -> list[Notice]:
    """Everything noticed in a job, each thing once, in the order of the sheet."""
    curves: dict[str, tuple[Curved, ...]] = {}
    found = [
        notice
        for place in places(job)
        for answer in answers_of_core(job, place, takes, curves=curves)
        if isinstance(answer, tuple)
        for notice in answer
    ]
    return list(dict.fromkeys(found))


def notices_of_core(job: Job, place: Place, takes: Takes) -> list[Notice]:
    """Everything noticed that is about one core."""
    answers = answers_of_core(job, place, takes)
    found = [notice for answer in answers if isinstance(answer, tuple) for notice in answer]
    return [notice for notice in dict.fromkeys(found) if place.core.core_id in notice.cores]


def not_judged(job: Job, place: Place, takes: Takes) -> list[NotJudged]:
    """What could not be looked at on one core, each with its reason."""
    return [entry for entry in answers_of_core(job, place, takes) if isinstance(entry, NotJudged)]


def answers_of_core(
    job: Job, place: Place, takes: Takes, *, curves: dict[str, tuple[Curved, ...]] | None = None
) -> list[Answer]:
    """One answer for each row; `curves` keeps what was read of the curves from core to core of one job."""
    sight = sight_of(job, place, takes, {} if curves is None else curves)
    return [row.look(sight) for row in NOTICES]


__all__ = [
    "NOTICES",
    "Answer",
    "Entry",
    "Figure",
    "NotJudged",
    "Notice",
    "NoticeRow",
    "Offer",
    "answers_of_core",
    "not_judged",
    "notices",
    "notices_of_core",
]
