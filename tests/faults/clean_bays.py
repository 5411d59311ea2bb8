"""No notice on clean bays, however their meters scatter; the bay with planted faults is the control."""

from __future__ import annotations

from importlib import resources
from typing import Any, Final

from app.exchange import jobfile
from ctcore.notices import notices
from ctcore.takes import takes_of
from samples import sample
from samples.making.plain_bay import make
from samples.making.plain_tests import Bay

FIRST_SEED: Final = 7000
COUNT: Final = {False: 60, True: 200}


def run(long: bool) -> dict[str, Any]:
    """Make clean jobs and count those that raise a notice; 200 of them in the long form."""
    noisy = [seed for seed in range(FIRST_SEED, FIRST_SEED + COUNT[long]) if _noticed_on(seed)]
    with resources.as_file(sample("faulty_bay").file) as path:
        faulty = jobfile.load(path)
    return {
        "name": "clean_bays",
        "cases": COUNT[long],
        "failed": len(noisy),
        "control_caught": bool(notices(faulty, takes_of(faulty.readings))),
        "examples": noisy[:10],
    }


def _noticed_on(seed: int) -> bool:
    job = make(Bay(f"clean-{seed}", "1", "Clean", seed, positions=("Feeder 1",)))
    return bool(notices(job, takes_of(job.readings)))
