"""Signing with a key that is unlocked, and unlocking one.

`sign` is what a tester waits for: signature over the record, form and record put into the sheet, the sheet
signed. `approve` is what an approver waits for: signature over the record, block of the approval, second
signature in the sheet, issue. `unlock` opens the envelope of a key, which is meant to be slow for a thief.
"""

from __future__ import annotations

import dataclasses
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from app.record import people_keys, sheet_signing, signing
from tests.app.record.signed_scene import (
    APPROVED_AT,
    MADE,
    PLACES,
    TESTED_AT,
    TEXTS,
    picture,
    revision_of,
    the_approver,
    the_tester,
)

NAMES = ("sign", "approve", "unlock")

_WARM_UP = 2
_PASSPHRASE = "four words by chance"


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds."""
    runs = 5 if short else 30
    revision_of().draft  # noqa: B018
    with tempfile.TemporaryDirectory() as folder:
        keys = Path(folder)
        people_keys.make(keys, person_id="p1", name_text="A. Tester", passphrase=_PASSPHRASE, at=MADE)
        return [
            _measured("sign", _sign, runs),
            _measured("approve", _approve, runs),
            _measured("unlock", lambda: people_keys.unlock(keys, "p1", _PASSPHRASE), max(3, runs // 4)),
        ]


def _measured(name: str, act: Callable[[], object], runs: int) -> dict[str, Any]:
    took = []
    for number in range(-_WARM_UP, runs):
        started = time.perf_counter()
        act()
        if number >= 0:
            took.append((time.perf_counter() - started) * 1e3)
    value = statistics.median(took)
    return {"name": name, "value": value, "unit": "ms", "reference": None, "ratio": None, "runs": runs}


def _sign() -> bytes:
    its = revision_of()
    signing.sign_tested(its.record, the_tester(), at=TESTED_AT)
    return sheet_signing.certify(its.pages, the_tester(), at=TESTED_AT, places=PLACES, picture=picture())


def _approve() -> object:
    its = revision_of()
    approved = signing.sign_approved(its.record, its.tested, the_approver(), at=APPROVED_AT)
    sheet = sheet_signing.countersign(
        its.certified,
        the_approver(),
        at=APPROVED_AT,
        texts=TEXTS,
        pictures={"ApprovalDecision": picture()},
        picture=picture(),
    )
    draft = dataclasses.replace(its.draft, approved=approved, sheet=sheet)
    return signing.issue(draft, the_approver(), at=APPROVED_AT, decision="approved")
