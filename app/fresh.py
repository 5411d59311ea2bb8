"""Set up a fresh machine and go on: `python3 -m app.fresh job` or `python3 -m app.fresh tests`.

Needs nothing but Python: makes the environment in `.venv`, installs exactly what the lock file names, then
opens the sample job or runs the tests.
"""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parent.parent
VENV: Final = ROOT / ".venv"
USE: Final = "python3 -m app.fresh job | tests"

# What the tests need beside Python, as a file to look for and the Debian package that brings it.
NEEDED_BY_TESTS: Final = (
    ("bin/pdftotext", "poppler-utils"),
    ("bin/pdffonts", "poppler-utils"),
    ("bin/zbarimg", "zbar-tools"),
    ("bin/Xvfb", "xvfb"),
    ("bin/ngspice", "ngspice"),
    ("lib/postgresql/*/bin/initdb", "postgresql"),
    ("lib/libEGL.so.1", "libegl1"),
    ("lib/libGL.so.1", "libgl1"),
    ("lib/libglib-2.0.so.0", "libglib2.0-0"),
    ("lib/libdbus-1.so.3", "libdbus-1-3"),
    ("lib/libfontconfig.so.1", "libfontconfig1"),
    ("lib/libxkbcommon.so.0", "libxkbcommon0"),
    ("lib/libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
    ("lib/libxcb-cursor.so.0", "libxcb-cursor0"),
    ("lib/libxcb-icccm.so.4", "libxcb-icccm4"),
    ("lib/libxcb-keysyms.so.1", "libxcb-keysyms1"),
    ("lib/libxcb-shape.so.0", "libxcb-shape0"),
)


def main(argv: list[str]) -> int:
    """Set up, then do the one thing that was asked for."""
    if len(argv) != 1 or argv[0] not in ("job", "tests"):
        print(f"Use: {USE}", file=sys.stderr)
        return 64
    problem = _set_up("test" if argv[0] == "tests" else "app")
    if problem:
        print(problem, file=sys.stderr)
        return 69
    if argv[0] == "job":
        return subprocess.run([_python(), "-m", "app", "demo"], cwd=ROOT, check=False).returncode
    missing = missing_packages()
    if missing:
        print(
            "The tests need these system packages first: apt-get install -y " + " ".join(missing),
            file=sys.stderr,
        )
        return 69
    return run_tests()


def run_tests() -> int:
    """The whole test suite, in parallel, with no display."""
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    # The tests start many processes: what is compiled once is kept, whatever the machine would have it.
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [
        _python(),
        "-m",
        "pytest",
        "-q",
        "-n",
        str(min(8, os.cpu_count() or 2)),
        # Who is done first takes over what others have left: no worker waits for the longest at the end.
        "--dist=worksteal",
        "--max-worker-restart=0",
    ]
    return subprocess.run(command, cwd=ROOT, env=environment, check=False).returncode


def missing_packages() -> list[str]:
    """Names of the system packages that the tests lack here; only Linux is looked at."""
    if not sys.platform.startswith("linux"):
        return []
    multiarch = sysconfig.get_config_var("MULTIARCH") or f"{os.uname().machine}-linux-gnu"
    folders = {
        "bin": [Path(entry) for entry in os.environ.get("PATH", "").split(os.pathsep) if entry],
        "lib": [
            Path(f"/usr/lib/{multiarch}"),
            Path(f"/lib/{multiarch}"),
            Path("/usr/lib64"),
            Path("/usr/lib"),
        ],
    }
    missing = []
    for wanted, package in NEEDED_BY_TESTS:
        kind, name = wanted.split("/", 1)
        if package not in missing and not any(any(folder.glob(name)) for folder in folders[kind]):
            missing.append(package)
    return missing


def _python() -> str:
    return str(VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))


def _set_up(extra: str) -> str | None:
    """Make the environment and install what is locked; a sentence where that cannot be done."""
    if sys.version_info < (3, 11):  # noqa: UP036 - this file is started by whatever python3 is there
        return "Coreleaf needs Python 3.11 or newer."
    lock = ROOT / "requirements.lock"
    stamp = VENV / f"installed-{extra}"
    wanted = lock.read_text(encoding="utf-8") + (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    if stamp.exists() and stamp.read_text(encoding="utf-8") == wanted:
        return None
    problem = _make_venv()
    if problem:
        return problem
    print("Installing what the lock file names (once; a minute or two) ...", flush=True)
    install = [*_pip(), "install", "--quiet", "--disable-pip-version-check", "--no-warn-script-location"]
    # The lock is whole; old pips, asked to resolve it again, look past it at newer releases of `name[extra]`.
    locked = [*install, "--no-deps", "--require-hashes", "-r", str(lock)]
    own = [*install, "--no-deps", "--no-build-isolation", "--editable", str(ROOT)]
    for command in (locked, own):
        if subprocess.run(command, cwd=ROOT, check=False).returncode:
            return "Installing did not succeed; the lines above say why. Nothing outside .venv was touched."
    stamp.write_text(wanted, encoding="utf-8")
    return None


def _make_venv() -> str | None:
    if Path(_python()).exists():
        return None
    made = subprocess.run(
        [sys.executable, "-m", "venv", str(VENV)], capture_output=True, text=True, check=False
    )
    if made.returncode == 0:
        return None
    bare = [sys.executable, "-m", "venv", "--clear", "--without-pip", str(VENV)]
    has_pip = subprocess.run([sys.executable, "-m", "pip", "--version"], capture_output=True, check=False)
    if has_pip.returncode == 0 and subprocess.run(bare, capture_output=True, check=False).returncode == 0:
        return None
    return "Python cannot make its environment here: apt-get install -y python3-venv"


def _pip() -> list[str]:
    own = subprocess.run([_python(), "-m", "pip", "--version"], capture_output=True, check=False)
    return (
        [_python(), "-m", "pip"]
        if own.returncode == 0
        else [sys.executable, "-m", "pip", "--python", _python()]
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
