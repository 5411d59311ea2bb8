"""Signed one-core jobs taken in by the office: digests and signatures checked, filed, receipts signed.

The signatures inside the sheets are checked afterwards and not counted here.
"""

from __future__ import annotations

import shutil
import tempfile
import time
from pathlib import Path
from typing import Any

from app.desk.archive.intake import Intake
from app.jobstore.archive import Archive
from tests.app.jobstore.archive.conftest import AT
from tests.app.record.signed_scene import person, revision_of, trust
from tests.postgresql import Server

NAMES = ("archive_intake_sqlite", "archive_intake_postgresql")
_JOBS, _JOBS_SHORT = 400, 40


def run(short: bool = False) -> list[dict[str, Any]]:
    """Jobs a second on each database; there is no reference."""
    count = _JOBS_SHORT if short else _JOBS
    packs = [revision_of(f"B-{number}").packed for number in range(count)]
    folder = Path(tempfile.mkdtemp(prefix="coreleaf-bench-"))
    server = Server(safe=True)
    try:
        places = (str(folder / "archive.sqlite"), server.database())
        return [_result(name, place, packs) for name, place in zip(NAMES, places, strict=True)]
    finally:
        server.close()
        shutil.rmtree(folder, ignore_errors=True)


def _result(name: str, place: str, packs: list[bytes]) -> dict[str, Any]:
    key = person("Archive", "archive-1", ("archive",))
    archive = Archive.open(place)
    try:
        for data in packs:
            archive.deposit(data, device_text="laptop", at=AT)
        started = time.perf_counter()
        taken = Intake(archive, trust=trust(), key=key, clock=lambda: AT).run()
        lasted = time.perf_counter() - started
    finally:
        archive.close()
    assert taken.filed_count == len(packs), taken.text
    value = len(packs) / lasted
    return {"name": name, "value": value, "unit": "jobs/s", "reference": None, "ratio": None, "runs": 1}
