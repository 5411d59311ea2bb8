"""The set-up of a fresh machine names what is missing and refuses wrong use."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from app import fresh


def test_wrong_use_is_said_with_the_right_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert fresh.main(["job", "tests"]) == 64
    assert fresh.USE in capsys.readouterr().err


def test_missing_system_packages_are_named_once_each(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(fresh.sys, "platform", "linux")
    monkeypatch.setenv("PATH", str(tmp_path))
    missing = fresh.missing_packages()

    assert {"poppler-utils", "ngspice"} <= set(missing)
    assert len(missing) == len(set(missing))


def test_it_needs_nothing_but_the_standard_library() -> None:
    program = "import sys, app.fresh; print(sorted({name.split('.')[0] for name in sys.modules}))"
    ended = subprocess.run(
        [sys.executable, "-S", "-c", program],
        cwd=fresh.ROOT,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )

    assert not {"numpy", "PySide6", "sqlalchemy", "reportlab"} & set(ended.stdout)
