"""Whether a window can come up is decided before Qt could abort."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from app import display

linux = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the fork is made on Linux only")


def test_without_a_display_the_reason_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")

    assert display.why_no_display() == display.NO_DISPLAY_SENTENCE


def test_with_a_display_a_window_is_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DISPLAY", ":0")

    assert display.why_no_display() is None


def test_a_missing_library_becomes_a_sentence_with_its_package() -> None:
    sentence = display.missing_library_sentence("libEGL.so.1: cannot open shared object file: No such file")

    assert sentence.endswith("apt-get install -y libegl1")


@linux
def test_the_exit_code_of_the_window_is_passed_on() -> None:
    def window(painted: Callable[[], None]) -> int:
        painted()
        return 7

    assert display.show(window) == display.Shown(7)


@linux
def test_an_abort_before_the_first_paint_becomes_a_sentence() -> None:
    def window(painted: Callable[[], None]) -> int:
        os.write(2, b"qt.qpa.xcb: could not connect to display :77\n")
        os.abort()

    shown = display.show(window)

    assert shown.exit_code == 69
    assert shown.sentence is not None
    assert "does not answer" in shown.sentence


@linux
def test_a_missing_library_in_the_window_becomes_a_sentence() -> None:
    def window(painted: Callable[[], None]) -> int:
        raise ImportError("libGL.so.1: cannot open shared object file: No such file or directory")

    assert "apt-get install -y libgl1" in str(display.show(window).sentence)


@linux
def test_a_display_that_does_not_answer_is_said_in_one_line(tmp_path: Path) -> None:
    environment = {
        **{name: value for name, value in os.environ.items() if name != "QT_QPA_PLATFORM"},
        "DISPLAY": ":77",
        "CORELEAF_HOME": str(tmp_path),
    }
    ended = subprocess.run(
        [sys.executable, "-m", "app"],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )

    assert ended.returncode == 69
    assert ended.stderr.startswith("The window cannot come up: the display :77 does not answer.")
    assert "Traceback" not in ended.stderr


def test_the_headless_demo_imports_no_qt(tmp_path: Path) -> None:
    program = (
        "import sys\n"
        "from app.__main__ import main\n"
        f"code = main(['demo', '--out', {str(tmp_path)!r}])\n"
        "assert not any(name.split('.')[0] in ('PySide6', 'pyqtgraph') for name in sys.modules)\n"
        "sys.exit(code)\n"
    )
    environment = {
        name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")
    }
    ended = subprocess.run(
        [sys.executable, "-c", program],
        env={**environment, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )

    assert ended.returncode in (0, 1), ended.stderr
    assert "There is no display here" in ended.stdout
    assert list(tmp_path.glob("*.pdf"))


@linux
def test_a_window_that_asks_for_another_size_comes_up_anew(tmp_path: Path) -> None:
    codes = tmp_path / "codes"
    codes.write_text(f"{display.AGAIN} 3", encoding="ascii")

    def window(painted: Callable[[], None], _training: bool) -> int:
        painted()
        first, *rest = codes.read_text(encoding="ascii").split()
        codes.write_text(" ".join(rest), encoding="ascii")
        return int(first)

    assert display.show_until_closed(window) == display.Shown(3)
    assert codes.read_text(encoding="ascii") == ""


def _ending(codes: Path) -> Callable[[Callable[[], None], bool], int]:
    """A window that ends with one code of the file after the other; the mode it stood in is written down."""

    def window(painted: Callable[[], None], training: bool) -> int:
        painted()
        first, *rest = codes.read_text(encoding="ascii").split()
        codes.write_text(" ".join(rest), encoding="ascii")
        with codes.with_name("modes").open("a", encoding="ascii") as modes:
            modes.write(f"{training} ")
        if first == "abort":
            os.abort()
        return int(first)

    return window


@linux
def test_training_is_entered_and_left_by_the_way_the_window_ends(tmp_path: Path) -> None:
    codes = tmp_path / "codes"
    codes.write_text(f"{display.INTO_TRAINING} {display.AGAIN} {display.OUT_OF_TRAINING} 0", encoding="ascii")
    assert display.show_until_closed(_ending(codes)) == display.Shown(0)
    assert (tmp_path / "modes").read_text(encoding="ascii").split() == ["False", "True", "True", "False"]


@linux
def test_a_window_that_an_abort_ended_comes_back_in_the_same_mode(tmp_path: Path) -> None:
    codes = tmp_path / "codes"
    codes.write_text("abort 0", encoding="ascii")
    times = iter((0.0, 60.0, 60.0))
    shown = display.show_until_closed(_ending(codes), training=True, clock=lambda: next(times))
    assert shown == display.Shown(0)
    assert (tmp_path / "modes").read_text(encoding="ascii").split() == ["True", "True"]


@linux
def test_a_window_that_aborts_at_once_is_not_brought_up_again(tmp_path: Path) -> None:
    codes = tmp_path / "codes"
    codes.write_text("abort 0", encoding="ascii")
    times = iter((0.0, 2.0))
    assert display.show_until_closed(_ending(codes), clock=lambda: next(times)).exit_code == 134
