"""The import contracts hold, and each of them bites when it is broken on purpose."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

BREAKS = (
    ("ctcore/curve/knee.py", "import app.desk", "The parts stand in layers"),
    ("app/record/chain.py", "import app.jobstore", "The parts stand in layers"),
    ("app/report/sheet.py", "import app.exchange", "The parts stand in layers"),
    ("ctcore/decision.py", "import os", "The core imports no part of the program"),
    ("app/desk/readings.py", "import PySide6.QtCore", "Qt is imported in app.ui alone"),
    ("app/desk/readings.py", "import sqlalchemy", "SQL is spoken in app.jobstore alone"),
    ("app/desk/papers.py", "import reportlab", "The sheet is drawn in app.report alone"),
    ("app/ui/window.py", "import pypdfium2", "Pages are made pictures in app.report alone"),
    ("app/jobstore/store.py", "import hashlib", "Digests and canonical bytes are made in app.record alone"),
    (
        "ctcore/procedures/ratio.py",
        "import ctcore.procedures.resistance",
        "Test types do not know each other",
    ),
)


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    program = (
        "import sys; from importlinter.cli import lint_imports_command; sys.exit(lint_imports_command())"
    )
    return subprocess.run(
        [sys.executable, "-c", program, "--no-cache"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={"PYTHONPATH": str(folder), "PATH": "/usr/bin:/bin", "PYTHONDONTWRITEBYTECODE": "1"},
    )


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    for name in ("app", "ctcore", "resources", "samples"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__", "*.ttf"))
    shutil.copy(ROOT / ".importlinter", tmp_path)
    return tmp_path


def test_the_tree_keeps_its_import_directions() -> None:
    checked = lint_imports(ROOT)

    assert checked.returncode == 0, checked.stdout


@pytest.mark.parametrize(("path", "line", "contract"), BREAKS)
def test_a_broken_direction_is_caught(copy: Path, path: str, line: str, contract: str) -> None:
    broken = copy / path
    broken.write_text(broken.read_text(encoding="utf-8") + f"\n{line}  # noqa\n", encoding="utf-8")
    checked = lint_imports(copy)

    assert checked.returncode != 0
    said = checked.stdout.split("Contracts:")[0]
    assert any(row.startswith(contract) and "BROKEN" in row for row in said.splitlines()), said
