"""Builds the libraries that are preloaded into a program under test. They need Linux and gcc."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def why_none(suite: str) -> str | None:
    """Why a suite that preloads a library cannot run here."""
    if sys.platform == "linux" and shutil.which("gcc") is not None:
        return None
    return f"{suite} needs Linux and gcc, and was left out"


def built(name: str, folder: Path) -> Path:
    """The library `<name>_shim.c` of this folder, compiled into another."""
    shim = folder / f"{name}.so"
    source = Path(__file__).with_name(f"{name}_shim.c")
    subprocess.run(["gcc", "-shared", "-fPIC", "-O2", "-o", shim, source, "-lpthread"], check=True)
    return shim


def fast_folder() -> str | None:
    """A folder in memory where there is one: what lies there is thrown away."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
