"""What decisions say on paper and in an answer: concessions in the block of the approval, what goes back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from app.desk.commenting import bound_line
from app.desk.exceptions import ExceptionLine
from app.desk.readiness import place_words, test_words
from app.record.canonical import canonical, digest, digest_groups
from app.record.papers import Decision
from ctcore.job import Deviation, Job, places
from ctcore.procedures import PROCEDURES

_MOST_PLACES: Final = 4
_DIGEST_LENGTH: Final = 32
_BOUND: Final = "Decisions line by line: "


def decision_of(lines: Iterable[ExceptionLine]) -> Decision:
    """What the approval says in its first words."""
    granted = any(line.decision == "concession" for line in lines)
    return "approved with concessions" if granted else "approved"


def concessions_text(job: Job, lines: Sequence[ExceptionLine], name_text: str) -> str:
    """Every concession with reason and name; lines with one reason stand together."""
    by_reason: dict[str, list[ExceptionLine]] = {}
    for line in lines:
        if line.decision == "concession":
            valid = f"; holds {line.valid_text}" if line.valid_text else ""
            by_reason.setdefault(f"{line.reason_text}{valid}", []).append(line)
    return "\n".join(
        f"{number}. {_where(job, its)}: {reason} ({name_text})"
        for number, (reason, its) in enumerate(by_reason.items(), start=1)
    )


def sent_back_text(job: Job, lines: Sequence[ExceptionLine], reason_text: str) -> str:
    """What who tested has to read: the reason as a whole, what goes back, open comments, what binds them.

    The last lines hold the digests of all comments and of all decisions, so that the signature over this text
    covers them too.
    """
    going = [line for line in lines if line.decision == "sent_back"]
    told = [reason_text.strip()] if reason_text.strip() else []
    told += [f"{_where(job, [line])}: {line.reason_text}" for line in going]
    told += [
        f"Comment on {test_words(job, one.core_id, one.procedure_id)}: {one.text}"
        for one in job.remarks
        if one.state == "open"
    ]
    told += bound_line(job.remarks)
    made = [entry for entry in job.deviations if entry.finding_key and entry.decision is not None]
    return "\n".join([*told, f"{_BOUND}{decisions_digest(made)}"])


def is_bound(text: str, made: Iterable[Deviation]) -> bool:
    """Whether the decisions that came along are those that the signed text speaks of."""
    return text.split("\n")[-1] == f"{_BOUND}{decisions_digest(made)}"


def decisions_digest(made: Iterable[Deviation]) -> str:
    """One digest over decisions in any order."""
    spelled = sorted(
        [
            one.finding_key,
            str(one.decision),
            one.decision_text,
            one.found_text,
            one.person_id,
            one.at_utc,
            *([one.valid_text] if one.valid_text else []),
        ]
        for one in made
    )
    return digest_groups(digest(canonical(spelled))[:_DIGEST_LENGTH])


def _where(job: Job, lines: Sequence[ExceptionLine]) -> str:
    names = {place.core.core_id: place_words(place) for place in places(job)}
    tests = {row.procedure_id: row.short_name.lower() for row in PROCEDURES}
    told = []
    for line in lines:
        place = names.get(line.core_id)
        test = tests.get(line.procedure_id, line.procedure_id)
        told.append(f"{place}, {test}" if place else line.found_text.rstrip("."))
    unique = list(dict.fromkeys(told))
    if len(unique) <= _MOST_PLACES:
        return "; ".join(unique)
    return f"{'; '.join(unique[:_MOST_PLACES])} and {len(unique) - _MOST_PLACES} more"
