"""Writes every sample job beside the package."""

from __future__ import annotations

from pathlib import Path

from app.exchange import jobfile
from samples.making import line_bay, ring_bus, steel_toroid

MAKERS = {
    "line_bay.json": line_bay.make,
    "ring_bus_multi_ratio.json": ring_bus.make,
    "steel_toroid.json": steel_toroid.make,
}


def write_all(folder: Path) -> None:
    """One job file per sample in that folder."""
    for file_name, make in MAKERS.items():
        jobfile.save(make(), folder / file_name)


if __name__ == "__main__":
    write_all(Path(__file__).resolve().parent.parent)
