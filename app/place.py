"""Where data lives: the folder that the system or $CORELEAF_HOME names, or the one that it was moved to.

Format: a folder whose data was moved holds `moved-to.txt` with the path of the other. Only the folder that
the system or the environment names is looked at for one, so a signpost leads nowhere in circles. The other
bears a mark: an empty folder in its place, such as that of a stick which is not connected, has none.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

from app.record.files import write_whole

SIGNPOST: Final = "moved-to.txt"
MARK: Final = "data-was-moved-here.txt"
_MARK_TEXT: Final = (
    "The data of Coreleaf was moved to this folder. Without this file it is not looked for here.\n"
)


def home_folder() -> Path:
    """Where data is looked for first: $CORELEAF_HOME, else the user's data folder of the system."""
    stated = os.environ.get("CORELEAF_HOME")
    if stated:
        return Path(stated).expanduser()
    from platformdirs import user_data_path

    return user_data_path("coreleaf", appauthor=False)


def data_folder() -> Path:
    """Where the program keeps its data: where it is looked for first, or where the signpost there leads."""
    home = home_folder()
    try:
        found = os.fsdecode((home / SIGNPOST).read_bytes()).strip()
    except OSError:
        return home
    # A signpost that says nothing leads to itself, which is no folder: nothing is begun anew beside data.
    return Path(found) if found else home / SIGNPOST


def put_signpost(folder: Path) -> None:
    """From now on data is kept in `folder`. OSError where that cannot be written down."""
    write_whole(folder / MARK, _MARK_TEXT.encode())
    write_whole(home_folder() / SIGNPOST, os.fsencode(folder))


def why_gone(folder: Path) -> str:
    """A sentence where that is the folder that data was moved to, and it is not there; else empty."""
    home = home_folder()
    if folder == home or folder != data_folder() or (folder / MARK).is_file():
        return ""
    return (
        f"Nothing was changed. Your data was moved to {folder}, and that folder is not there: connect the "
        f"device that it lies on and start again. What was kept before the move is still in {home}."
    )
