"""The answer of a check: genuine, altered (what), or cannot tell (what is missing)."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final, Literal, TypeVar

from app.record.problem import Altered, CannotTell

Outcome = Literal["genuine", "altered", "cannot tell"]
EXIT_CODES: Final[dict[Outcome, int]] = {"genuine": 0, "altered": 1, "cannot tell": 2}
NO_PROGRAM_CAN_KNOW: Final = (
    "No program can know whether the readings were taken as they were keyed in, "
    "or whether the clocks of the computers were right."
)

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Signer:
    """Who signed, meaning what, when, and with which certificate."""

    name_text: str
    meaning: str
    at_utc: str
    fingerprint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The outcome, first of all in `sentences`; `details` holds what a list may show beside it."""

    outcome: Outcome
    sentences: tuple[str, ...]
    signers: tuple[Signer, ...] = ()
    details: tuple[tuple[str, str], ...] = ()

    @property
    def exit_code(self) -> int:
        """What the command line leaves with."""
        return EXIT_CODES[self.outcome]


def as_plain(verdict: Verdict) -> dict[str, Any]:
    """The verdict as JSON carries it."""
    return {**dataclasses.asdict(verdict), "details": dict(verdict.details)}


@dataclass(slots=True)
class Inquiry:
    """What was found so far. Nothing that is found makes an earlier finding better."""

    altered: list[str] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    signers: list[Signer] = field(default_factory=list)
    details: dict[str, str] = field(default_factory=dict)

    def attempt(self, step: Callable[[], T]) -> T | None:
        """What the step gives; None where it does not hold, which is then written down."""
        try:
            return step()
        except (Altered, CannotTell) as problem:
            self.put(problem)
        return None

    def put(self, problem: Altered | CannotTell) -> None:
        """Write down what a step raised."""
        if isinstance(problem, Altered):
            self.is_altered(problem.sentence)
        else:
            self.lacks(problem.sentence)

    def is_altered(self, sentence: str) -> None:
        """Write down that something is not as it was signed."""
        _once(self.altered, sentence)

    def lacks(self, sentence: str) -> None:
        """Write down that something is wanting to say genuine or altered."""
        _once(self.missing, sentence)

    def note(self, sentence: str) -> None:
        """Something to say that changes no outcome."""
        _once(self.notes, sentence)

    def signed(self, signer: Signer) -> None:
        """Somebody signed; the same person meaning the same is named once."""
        if (signer.name_text, signer.meaning) not in {(one.name_text, one.meaning) for one in self.signers}:
            self.signers.append(signer)

    def verdict(self, genuine: str) -> Verdict:
        """The outcome; `genuine` says what is genuine where nothing speaks against it."""
        outcome: Outcome = "altered" if self.altered else "cannot tell" if self.missing else "genuine"
        if outcome == "genuine":
            sentences = [f"Genuine: {genuine}", *self.notes, NO_PROGRAM_CAN_KNOW]
        else:
            found = [*self.altered, *self.missing]
            sentences = [f"{outcome.capitalize()}: {found[0]}", *found[1:]]
        return Verdict(
            outcome=outcome,
            sentences=tuple(sentences),
            signers=tuple(self.signers),
            details=tuple(sorted(self.details.items())),
        )


def _once(sentences: list[str], sentence: str) -> None:
    if sentence not in sentences:
        sentences.append(sentence)
