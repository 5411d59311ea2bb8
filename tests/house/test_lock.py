"""The lock file is whole: what is installed from it, with nothing resolved again, lacks nothing."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LOCKED = re.compile(r"^([A-Za-z0-9_.-]+)==", re.MULTILINE)


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", re.split(r"[\[<>=~!; ]", name)[0]).lower()


def test_every_dependency_of_every_extra_is_locked() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [
        *project["dependencies"],
        *(row for rows in project["optional-dependencies"].values() for row in rows),
    ]
    locked = {
        _plain(name) for name in LOCKED.findall((ROOT / "requirements.lock").read_text(encoding="utf-8"))
    }
    assert {_plain(row) for row in asked} - locked == set()


def test_what_is_installed_lacks_nothing() -> None:
    checked = subprocess.run(
        [sys.executable, "-m", "pip", "--disable-pip-version-check", "check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert checked.returncode == 0, checked.stdout
