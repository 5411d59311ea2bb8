"""The wheel carries everything: installed elsewhere, it runs the demo through to the sheet."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    source = tmp_path_factory.mktemp("source")
    for name in ("app", "ctcore", "resources", "samples", "pyproject.toml", "README.md", "LICENSE"):
        (source / name).symlink_to(ROOT / name)
    wheels = tmp_path_factory.mktemp("wheels")
    target = tmp_path_factory.mktemp("target")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(wheels), str(source)]
    subprocess.run(build, check=True, capture_output=True, timeout=300)
    (wheel,) = wheels.glob("*.whl")
    install = [
        sys.executable,
        "-m",
        "pip",
        "install",
        "--quiet",
        "--no-deps",
        "--target",
        str(target),
        str(wheel),
    ]
    subprocess.run(install, check=True, capture_output=True, timeout=300)
    return target


def run(installed: Path, folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    without = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    environment = {name: value for name, value in os.environ.items() if name not in without}
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env={**environment, "PYTHONPATH": str(installed), "CORELEAF_HOME": str(folder / "home")},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


def test_the_installed_program_runs_the_demo(installed: Path, tmp_path: Path) -> None:
    ended = run(installed, tmp_path, "-m", "app", "demo", "--out", str(tmp_path / "out"))

    assert ended.returncode == 0, ended.stderr
    assert [path.suffix for path in sorted((tmp_path / "out").iterdir())] == [".json", ".pdf"]


def test_the_installed_core_is_the_one_that_runs(installed: Path, tmp_path: Path) -> None:
    ended = run(installed, tmp_path, "-c", "import ctcore; print(ctcore.__file__)")

    assert ended.stdout.strip().startswith(str(installed))


def test_the_installed_program_has_its_documents_with_their_pictures(installed: Path) -> None:
    documents = {path.name for path in (installed / "resources" / "documents").glob("*.md")}
    pictures = list((installed / "resources" / "pictures" / "guide").glob("*.png"))

    assert {path.name for path in (ROOT / "resources" / "documents").glob("*.md")} == documents
    assert len(pictures) > 10
