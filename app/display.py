"""Is there a screen, and can it be used: decided before any part of Qt that would abort the program.

On Linux the window runs in a forked child, so that an abort inside Qt reaches the user as a sentence.
"""

from __future__ import annotations

import contextlib
import os
import re
import signal
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from types import FrameType
from typing import Final

PACKAGES: Final = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-egl.so.1": "libwayland-egl1",
}

# The window ends with one of these where it wants to come up anew: as it is, in training, out of training.
AGAIN: Final = 86
INTO_TRAINING: Final = 87
OUT_OF_TRAINING: Final = 88
TRAINING_FLAG: Final = "--training"
# A fault of memory or an abort inside a library; whoever kills the program on purpose does not want it back.
_FAULTS: Final = frozenset(
    128 + getattr(signal, name) for name in ("SIGABRT", "SIGSEGV", "SIGFPE", "SIGILL", "SIGBUS")
    if hasattr(signal, name)
)  # fmt: skip
# A window that ends by a fault sooner than this would only do so again.
_LASTED_S: Final = 10.0

NO_DISPLAY_SENTENCE: Final = "There is no display here (neither DISPLAY nor WAYLAND_DISPLAY is set)."


@dataclass(frozen=True, slots=True)
class Shown:
    """How showing the window ended: its exit code, or the sentence why it never came up."""

    exit_code: int
    sentence: str | None = None


def why_no_display() -> str | None:
    """The sentence that says why no window can come up here; None where one is worth trying.

    A platform asked of Qt is no display: a window drawn offscreen would wait for a user who cannot see it.
    """
    if not sys.platform.startswith("linux"):
        return None
    if os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"):
        return None
    return NO_DISPLAY_SENTENCE


def missing_library_sentence(problem_text: str) -> str:
    """A loader's complaint as a sentence with the package that brings what is missing.

    >>> missing_library_sentence("libxcb-cursor.so.0: cannot open shared object file: No such file")
    'The window cannot come up: libxcb-cursor.so.0 is missing. Install it: apt-get install -y libxcb-cursor0'
    """
    found = re.search(r"(lib[\w.+-]+\.so[.\d]*)", problem_text)
    if found is None:
        return f"The window cannot come up: {problem_text.strip().splitlines()[-1]}"
    library = found.group(1)
    package = PACKAGES.get(library)
    advice = f"Install it: apt-get install -y {package}" if package else "Install the package that brings it."
    return f"The window cannot come up: {library} is missing. {advice}"


def show(window: Callable[[Callable[[], None]], int]) -> Shown:
    """Run `window`, which calls its argument once it is painted, and say how it ended.

    `window` may raise `ImportError` or `OSError` before it is painted: both become a sentence.
    """
    if not sys.platform.startswith("linux"):
        return _run(window, lambda: None)
    ready_read, ready_write = os.pipe()
    error_read, error_write = os.pipe()
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        os.close(ready_read)
        os.close(error_read)
        os._exit(_in_child(window, ready_write, error_write))
    os.close(ready_write)
    os.close(error_write)
    return _watch(child, ready_read, error_read)


def show_until_closed(
    window: Callable[[Callable[[], None], bool], int],
    *,
    training: bool = False,
    clock: Callable[[], float] = time.monotonic,
) -> Shown:
    """Run `window` as `show` does, told whether it is training, and anew as often as it asks for that.

    It also comes back, once it has stood for a while, after a fault that ended its process.
    """
    while True:
        begun_s = clock()
        shown = show(partial(_in_mode, window, training))
        if shown.exit_code in _FAULTS and clock() - begun_s >= _LASTED_S:
            continue
        if shown.sentence or shown.exit_code not in (AGAIN, INTO_TRAINING, OUT_OF_TRAINING):
            return shown
        if shown.exit_code != AGAIN:
            training = shown.exit_code == INTO_TRAINING
        if not sys.platform.startswith("linux"):
            # Qt: a scale is read once in a process, and here the window has no process of its own (6.11).
            given = [word for word in sys.orig_argv[1:] if word != TRAINING_FLAG]
            os.execv(sys.executable, [sys.executable, *given, *([TRAINING_FLAG] if training else [])])


def _in_mode(
    window: Callable[[Callable[[], None], bool], int], training: bool, painted: Callable[[], None]
) -> int:
    return window(painted, training)


def _run(window: Callable[[Callable[[], None]], int], painted: Callable[[], None]) -> Shown:
    try:
        return Shown(window(painted))
    except (ImportError, OSError) as problem:
        return Shown(69, missing_library_sentence(str(problem)))


def _in_child(window: Callable[[Callable[[], None]], int], ready: int, errors: int) -> int:
    kept_stderr = os.dup(2)
    os.dup2(errors, 2)

    def painted() -> None:
        os.dup2(kept_stderr, 2)
        with contextlib.suppress(OSError):
            os.write(ready, b"1")
            os.close(ready)
            os.close(errors)

    shown = _run(window, painted)
    if shown.sentence:
        os.write(errors, shown.sentence.encode())
    with contextlib.suppress(ValueError, OSError):
        sys.stdout.flush()
        sys.stderr.flush()
    return shown.exit_code


def _watch(child: int, ready: int, errors: int) -> Shown:
    def pass_on(number: int, _frame: FrameType | None) -> None:
        with contextlib.suppress(ProcessLookupError):
            os.kill(child, number)

    before = {number: signal.signal(number, pass_on) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        with os.fdopen(errors, "rb") as stream:
            said = stream.read().decode(errors="replace").strip()
        with os.fdopen(ready, "rb") as stream:
            was_painted = stream.read(1) == b"1"
        _, status = os.waitpid(child, 0)
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    code = os.waitstatus_to_exitcode(status)
    if was_painted:
        return Shown(code if code >= 0 else 128 - code)
    return Shown(69, _sentence(said, code))


def _sentence(said: str, code: int) -> str:
    if said.startswith("The window cannot come up"):
        return said.splitlines()[0]
    if "could not connect to display" in said or "no Qt platform plugin could be initialized" in said:
        display = os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY") or "stated"
        return f"The window cannot come up: the display {display} does not answer."
    last = said.splitlines()[-1] if said else f"it ended with code {code}"
    return f"The window cannot come up: {last}"
