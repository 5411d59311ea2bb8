"""Writes every sample job beside the package."""

from __future__ import annotations

import json
from pathlib import Path

from app.exchange import jobfile
from samples.making import every_test, faulty_bay, line_bay, ring_bus, steel_toroid

MAKERS = {
    "line_bay.json": line_bay.make,
    "ring_bus_multi_ratio.json": ring_bus.make,
    "steel_toroid.json": steel_toroid.make,
    "every_test.json": every_test.make,
    "clean_bay.json": faulty_bay.make_clean,
    "faulty_bay.json": faulty_bay.make_faulty,
}
EXPECTED_NAME = "faulty_bay.expected.json"


def write_all(folder: Path) -> None:
    """One job file per sample in that folder, and the list of what must be noticed in the faulty one."""
    for file_name, make in MAKERS.items():
        jobfile.save(make(), folder / file_name)
    listed = json.dumps(faulty_bay.expected(), indent=1, ensure_ascii=False) + "\n"
    (folder / EXPECTED_NAME).write_text(listed, encoding="utf-8")


if __name__ == "__main__":
    write_all(Path(__file__).resolve().parent.parent)
