"""Where a page of the sheet comes to lie on the paper of a printer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Scale = Literal["fit", "actual"]
MM_PER_POINT: Final = 25.4 / 72.0
# Format: nothing stands within this many points of the edge of a sheet, see `app.report.frame`.
BARE_PT: Final = 9.0 / MM_PER_POINT


@dataclass(frozen=True, slots=True)
class Room:
    """The paper of a printer and the edges that it cannot print on, in points."""

    width: float
    height: float
    left: float = 0.0
    top: float = 0.0
    right: float = 0.0
    bottom: float = 0.0


@dataclass(frozen=True, slots=True)
class Placement:
    """The upper left corner of the page on the paper in points, and by how much it is scaled.

    `lost_mm` is how much of what is printed would fall off the paper, across and down.
    """

    left: float
    top: float
    factor: float
    lost_mm: tuple[float, float] = (0.0, 0.0)

    @property
    def loses(self) -> bool:
        """Whether anything would be cut off."""
        return max(self.lost_mm) > 0.0


def place(width: float, height: float, room: Room, scale: Scale) -> Placement:
    """The page in the middle of the paper: at its own size, or smaller where it would not go on it whole.

    >>> round(place(595.3, 841.9, Room(612.0, 792.0), "fit").factor, 3)
    0.941
    """
    across, down = room.width - room.left - room.right, room.height - room.top - room.bottom
    bare_across, bare_down = width - 2 * BARE_PT, height - 2 * BARE_PT
    factor = 1.0
    if scale == "fit":
        factor = min(room.width / width, room.height / height, across / bare_across, down / bare_down)
        # Format: Qt knows papers to whole points, so that a page can seem larger than its paper by a hair.
        factor = 1.0 if factor > 0.998 else factor
    left, top = (room.width - width * factor) / 2, (room.height - height * factor) / 2
    # What is printed is moved off the edges that the printer cannot reach.
    bare = BARE_PT * factor
    left = min(max(left, room.left - bare), room.width - room.right - width * factor + bare)
    top = min(max(top, room.top - bare), room.height - room.bottom - height * factor + bare)
    lost = tuple(
        round(max(0.0, wanted * factor - there) * MM_PER_POINT, 1)
        for wanted, there in ((bare_across, across), (bare_down, down))
    )
    return Placement(left, top, factor, (lost[0], lost[1]))
