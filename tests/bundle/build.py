"""Builds the bundle: the mark of the build and the licences are made, PyInstaller collects one folder."""

from __future__ import annotations

import json
import lzma
import os
import shutil
import subprocess
import sys
import tarfile
from pathlib import Path
from typing import Final

from tests.bundle import licences

ROOT: Final = Path(__file__).resolve().parents[2]
SPEC: Final = Path(__file__).with_name("coreleaf.spec")
NAME: Final = "coreleaf"
LARGEST_MB: Final = 130.0
OUT: Final = ROOT / "build" / "bundle"


def build(out: Path) -> Path:
    """The folder of the bundle, made anew beneath `out`."""
    made = out / "made"
    _write_mark(made / "resources" / "build.json")
    licences.write_texts(made / "licences")
    licences.write_metadata(made)
    command = [sys.executable, "-m", "PyInstaller", "--noconfirm", "--log-level", "WARN", "--distpath",
               str(out / "dist"), "--workpath", str(out / "work"), str(SPEC)]  # fmt: skip
    environment = {**os.environ, "CORELEAF_BUNDLE_MADE": str(made), "PYTHONHASHSEED": "0"}
    subprocess.run(command, cwd=ROOT, env=environment, check=True)
    _leave_out_debugging(folder_in(out))
    return folder_in(out)


def folder_in(out: Path) -> Path:
    """Where the bundle lies beneath the folder that it was built in."""
    return out / "dist" / NAME


def size_mb(folder: Path) -> float:
    """How much room a folder takes."""
    return (
        sum(path.stat().st_size for path in folder.rglob("*") if path.is_file() and not path.is_symlink())
        / 1e6
    )


def pack(folder: Path) -> Path:
    """The folder as one file to hand on, a tar packed by xz at its usual strength."""
    packed = folder.with_suffix(".tar.xz")
    with lzma.open(packed, "wb", preset=6) as stream, tarfile.open(fileobj=stream, mode="w") as bundle:
        bundle.add(folder, arcname=folder.name)
    return packed


def _leave_out_debugging(folder: Path) -> None:
    """Python's library may come with its debugging tables, which nobody asks for; wheels come without."""
    strip = shutil.which("strip")
    for library in folder.glob("_internal/libpython*.so*") if strip else ():
        subprocess.run([str(strip), "--strip-debug", str(library)], check=True)


def _write_mark(path: Path) -> None:
    """Commit and its time: two builds of one state bear one mark. A tree that was changed says so."""
    commit, at = _git("log", "-1", "--format=%H %cd", "--date=format:%Y-%m-%d").split(" ", 1)
    changed = "-changed" if _git("status", "--porcelain", "--untracked-files=no") else ""
    path.parent.mkdir(parents=True, exist_ok=True)
    mark = {"commit": f"{commit[:12]}{changed}", "committed": at}
    path.write_text(json.dumps(mark), encoding="utf-8")


def _git(*words: str) -> str:
    done = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=True)
    return done.stdout.strip()
