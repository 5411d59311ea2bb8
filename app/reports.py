"""Reports of faults: what kind, and where in the program. No reading, name, number or path of the user's.

The words of an exception may quote what was keyed, so they stay out; so do values of variables.
"""

from __future__ import annotations

import contextlib
import faulthandler
import platform
import re
import traceback
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Final

FOLDER: Final = "reports"
# So many reports are kept; older ones go first.
KEPT: Final = 20
_STOP: Final = "stop.txt"
_FRAME: Final = re.compile(r'File "(?P<path>[^"]+)", line (?P<line>\d+) in (?P<name>\S+)')
_ROOTS: Final = ("app", "ctcore", "resources", "samples", "tests")


def place_in_program(path_text: str) -> str:
    """A file of source by its place in the program, or among the libraries, and nothing of where that lies.

    >>> place_in_program("/opt/somebody/coreleaf/app/ui/window.py")
    'app/ui/window.py'
    >>> place_in_program("/opt/somebody/.venv/lib/python3.11/site-packages/sqlalchemy/engine.py")
    'sqlalchemy/engine.py'
    """
    parts = Path(path_text).parts
    if "site-packages" in parts:
        return "/".join(parts[parts.index("site-packages") + 1 :])
    last = next((number for number in reversed(range(len(parts))) if parts[number] in _ROOTS), len(parts) - 1)
    while last > 0 and parts[last - 1] in _ROOTS:
        last -= 1
    return "/".join(parts[last:])


def calls_of(problem: BaseException) -> list[str]:
    """The kind of an exception and of what caused it, each with the calls that led there."""
    lines: list[str] = []
    one: BaseException | None = problem
    while one is not None:
        lines.append(("caused by " if lines else "") + type(one).__name__)
        for frame in traceback.extract_tb(one.__traceback__):
            lines.append(f"  {place_in_program(frame.filename)}:{frame.lineno} {frame.name}")
        one = one.__cause__ or (None if one.__suppress_context__ else one.__context__)
    return lines


def write(folder: Path, problem: BaseException, *, page_id: str = "") -> Path | None:
    """Write what happened into a file of its own; None where even that is not possible."""
    page = [f"Page: {page_id}"] if page_id else []
    return _write(folder, "fault", [*page, *calls_of(problem)])


def watch_for_stop(folder: Path) -> IO[bytes] | None:
    """Let Python write where it stood when the process is ended by a fault of memory or an abort."""
    with contextlib.suppress(OSError):
        (folder / FOLDER).mkdir(parents=True, exist_ok=True)
        stream = (folder / FOLDER / _STOP).open("ab")
        faulthandler.enable(stream)
        return stream
    return None


def end_watch(folder: Path, stream: IO[bytes] | None) -> None:
    """The window ended by itself: nothing is left to be told."""
    if stream is not None:
        faulthandler.disable()
        stream.close()
        with contextlib.suppress(OSError):
            (folder / FOLDER / _STOP).unlink(missing_ok=True)


def report_of_stop(folder: Path) -> Path | None:
    """What the last run left behind when it was ended, as a report; None where it ended by itself."""
    path = folder / FOLDER / _STOP
    try:
        said = path.read_text(encoding="utf-8", errors="replace")
        path.unlink()
    except OSError:
        return None
    if not said.strip():
        return None
    lines = ["The program was ended from outside its own code."]
    for line in said.splitlines():
        found = _FRAME.search(line)
        if found is not None:
            lines.append(f"  {place_in_program(found['path'])}:{found['line']} {found['name']}")
        elif line.startswith("Fatal Python error:"):
            lines.append(line)
    return _write(folder, "stop", lines)


def reports_in(folder: Path) -> list[Path]:
    """The reports there are, the oldest first."""
    return sorted((folder / FOLDER).glob("*-*.txt"), key=lambda path: path.name.partition("-")[2])


def _write(folder: Path, kind: str, lines: list[str]) -> Path | None:
    # Qt: the core brings numpy, which must not be read before the first paint.
    from ctcore import __version__

    now = datetime.now(UTC)
    head = f"Coreleaf {__version__}, {platform.system()}, Python {platform.python_version()}"
    path = folder / FOLDER / f"{kind}-{now:%Y%m%d-%H%M%S-%f}.txt"
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("\n".join([head, f"{now:%Y-%m-%dT%H:%M:%SZ}", *lines, ""]), encoding="utf-8")
        for old in reports_in(folder)[:-KEPT]:
            old.unlink(missing_ok=True)
        return path
    return None
