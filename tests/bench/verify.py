"""The verdict on an evidence pack with its sheet, beside openssl on its three detached signatures.

openssl is what a third party would use; it looks at less: no PDF, no record, no list of people.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

from app.record.verify import verify_bytes
from tests.app.record.signed_scene import APPROVED_AT, TESTED_AT, revision_of, trust

NAMES = ("verify",)

_WARM_UP = 2


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds of both and their ratio; without openssl there is no ratio."""
    runs = 5 if short else 30
    pack = revision_of().packed
    ours, theirs = [], []
    with tempfile.TemporaryDirectory() as folder:
        for name, data in revision_of().papers.files().items():
            (Path(folder) / name).write_bytes(data)
        for number in range(-_WARM_UP, runs):
            started = time.perf_counter()
            outcome = verify_bytes(pack, trust=trust()).outcome
            between = time.perf_counter()
            by_openssl(Path(folder))
            if number >= 0:
                ours.append((between - started) * 1e3)
                theirs.append((time.perf_counter() - between) * 1e3)
    if outcome != "genuine":
        raise AssertionError("the pack is not genuine")
    value, reference = statistics.median(ours), statistics.median(theirs) if shutil.which("openssl") else None
    return [
        {
            "name": "verify",
            "value": value,
            "unit": "ms",
            "reference": reference,
            "ratio": None if reference is None else value / reference,
            "runs": runs,
        }
    ]


def by_openssl(folder: Path) -> None:
    """The three signatures of a pack, each checked by a run of openssl."""
    if not shutil.which("openssl"):
        return
    for signature, content, at in (
        ("record.p7s", "record.json", TESTED_AT),
        ("approved.p7s", "record.json", APPROVED_AT),
        ("issued.p7s", "issued.json", APPROVED_AT),
    ):
        subprocess.run(
            [
                "openssl", "cms", "-verify", "-binary", "-purpose", "any", "-inform", "DER", "-in", signature,
                "-content", content, "-CAfile", "office-ca.pem", "-attime", str(int(at.timestamp())),
                "-out", "/dev/null",
            ],
            cwd=folder, check=True, capture_output=True,
        )  # fmt: skip
