"""What the tree may hold: the top level, no machine paths, no hosts of package indexes, whole file lists."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOP = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "LICENSE",
    "requirements.lock",
    "app",
    "ctcore",
    "resources",
    "tests",
    "samples",
}


def tracked() -> list[Path]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a git checkout")
    return [Path(line) for line in listed.stdout.splitlines() if (ROOT / line).is_file()]


def texts() -> list[tuple[Path, str]]:
    kinds = {".py", ".md", ".toml", ".json", ".txt", ".lock", ".csv", ".mako", ".yaml", ""}
    return [
        (path, (ROOT / path).read_text(encoding="utf-8", errors="replace"))
        for path in tracked()
        if path.suffix in kinds
    ]


def test_the_top_level_holds_just_what_it_should() -> None:
    found = {path.parts[0] for path in tracked() if not path.parts[0].startswith(".")}

    assert found == TOP


def test_no_file_names_a_path_of_a_machine_or_an_index_host() -> None:
    wanted = re.compile(
        "|".join(
            (
                "/wo" + "rk/",
                "/ro" + "ot/",
                "/home" + "/[a-z]",
                "py" + r"pi\.",
                "pythonho" + "sted",
                r"registry\.np" + "m",
                r"deb\.debi" + "an",
                "extra-index" + "-url",
            )
        )
    )
    found = [f"{path}: {match.group()}" for path, text in texts() for match in [wanted.search(text)] if match]

    assert found == []


def test_the_lock_file_pins_every_package_with_a_hash() -> None:
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8").replace("\\\n", " ")
    lines = [line for line in lock.splitlines() if line.strip() and not line.startswith("#")]

    assert lines
    assert [line for line in lines if "==" not in line or "--hash=sha256:" not in line] == []


def test_python_files_stay_within_comfort() -> None:
    long_ones = [
        f"{path}: {text.count(chr(10))}"
        for path, text in texts()
        if path.suffix == ".py" and path.parts[0] in ("app", "ctcore") and text.count("\n") > 450
    ]

    assert long_ones == []
