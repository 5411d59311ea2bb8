"""What people might do to signed papers, each way by name, with the outcome that it has to have.

The control is a check that believes every certificate that fits its signature: it takes foreign people for
genuine, and must be caught.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Iterator
from typing import Any
from unittest import mock

from app.record import papers
from app.record.trust import Trust
from app.record.verdict import Outcome, Verdict
from tests.app.record.signed_scene import revision_of
from tests.faults.altering import files, packs, people, sheets
from tests.faults.altering.hands import checked, repacked

_FLIPS_SHORT = 10
_FLIPS_LONG = 400

WAYS: dict[str, tuple[Outcome, Callable[[], Verdict]]] = {
    made.__name__: (wanted, made)  # type: ignore[attr-defined]
    for subject in (sheets, people, packs, files)
    for wanted, ways in subject.WAYS.items()
    for made in ways
}


def run(long: bool) -> dict[str, Any]:
    """The result of the suite."""
    failed = 0
    for name, (wanted, made) in WAYS.items():
        verdict = made()
        if verdict.outcome != wanted or not verdict.sentences[0]:
            failed += 1
            print(f"{name}: {verdict.outcome} where {wanted} belongs: {verdict.sentences}", file=sys.stderr)
    flips = list(flipped_files(_FLIPS_LONG if long else _FLIPS_SHORT))
    failed += sum(checked(repacked(**{field: data})).outcome != "altered" for field, data in flips)
    return {
        "name": "alterations",
        "cases": len(WAYS) + len(flips),
        "failed": failed,
        "control_caught": control_caught(),
    }


def flipped_files(count: int) -> Iterator[tuple[str, bytes]]:
    """Each file of a pack with a bit turned over, so many times. The office's list is left out: a broken one
    is not used, and says nothing of the other files."""
    chance = random.Random(count)
    its = revision_of().papers
    for name, data in its.files().items():
        for _ in range(count if name != "office-register.json" else 0):
            at = chance.randrange(len(data))
            yield (
                papers.NAMES[name],
                data[:at] + bytes((data[at] ^ 1 << chance.randrange(8),)) + data[at + 1 :],
            )


def control_caught() -> bool:
    """Whether a check that believes any certificate is seen to take foreign people for genuine."""
    with mock.patch.object(Trust, "standing", return_value="believed"):
        return (
            people.foreign_office().outcome == "genuine" and people.self_signed_unknown().outcome == "genuine"
        )


if __name__ == "__main__":
    print(run("long" in sys.argv[1:]))
