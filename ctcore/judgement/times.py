"""When a take began and ended, by its readings; texts of UTC sort as they stand."""

from __future__ import annotations

from ctcore.takes import Take


def began(take: Take) -> str:
    """The time of the first reading of a take; empty where it has none."""
    return min(_times(take), default="")


def ended(take: Take) -> str:
    """The time of the last reading of a take; empty where it has none."""
    return max(_times(take), default="")


def _times(take: Take) -> list[str]:
    return [
        reading.at_utc
        for row in (take.method, *take.rows)
        for cell in row.cells.values()
        for reading in cell.readings
    ]
