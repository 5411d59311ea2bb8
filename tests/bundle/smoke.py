"""The bundle is started as a user would start it, with nothing of the source tree or its Python in reach."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

SPECIMENS: Final = Path(__file__).resolve().parents[1] / "specimens"
FORBIDDEN: Final = re.compile(
    r"virtualkeyboard|WebEngine|libQt6(Qml|Quick|Network|VirtualKeyboard)|\.pyi$|libreadline|/scipy/", re.I
)
_READY_FILE: Final = "CORELEAF_READY_FILE"
_LONGEST_S: Final = 120.0


class NotRight(Exception):
    """What the bundle did not do, in one sentence."""


def try_out(folder: Path, room: Path) -> Iterator[str]:
    """Everything that is tried, a line each; NotRight at the first that fails."""
    exe = folder / ("coreleaf.exe" if os.name == "nt" else "coreleaf")
    before = _listed(folder)
    yield _version(exe, room)
    yield _demo(exe, room)
    yield _verify(exe, room)
    yield _archive(exe, room)
    yield _workbook(exe, room)
    yield _window(exe, room)
    yield _files(folder)
    if _listed(folder) != before:
        raise NotRight("the program wrote into its own folder")
    yield "nothing was written into the folder of the program"


def fill_in(room: Path) -> None:
    """Answer what the first start asks, so that the window comes up as on every other day."""
    from app.settings import Settings

    Settings.load(room / "home").change(
        organisation_text="Tarnbeck Test Services", person_name_text="J. Velde"
    )


def start_of_window_ms(command: list[str], room: Path, *, cwd: Path | None = None) -> float:
    """Milliseconds until a cold process has its window painted offscreen and has taken a key."""
    ready = room / "ready"
    ready.unlink(missing_ok=True)
    shown = {"QT_QPA_PLATFORM": "offscreen", "DISPLAY": ":0", _READY_FILE: str(ready)}
    begun = time.monotonic_ns()
    process = subprocess.Popen(command, env=_environment(room, shown), cwd=cwd or room)
    try:
        while not (ready.exists() and ready.read_text(encoding="ascii")):
            if process.poll() is not None or time.monotonic_ns() - begun > _LONGEST_S * 1e9:
                raise NotRight(f"{command[0]} never came to its painted window")
            time.sleep(0.002)
        return (int(ready.read_text(encoding="ascii")) - begun) / 1e6
    finally:
        process.terminate()
        process.wait(timeout=30)


def _version(exe: Path, room: Path) -> str:
    said = _run(exe, room, "--version").stdout
    wanted = (
        r"^Coreleaf \S+, build [0-9a-f]{12}(-changed)? of ",
        r"^Python \d",
        r"^Qt 6\.\d",
        r"^SQLite 3\.\d",
    )
    missing = [words for words in wanted if not re.search(words, said, re.M)]
    if missing:
        raise NotRight(f"--version does not say {missing[0]}: {said}")
    return f"version: {said.splitlines()[0]}"


def _demo(exe: Path, room: Path) -> str:
    out = room / "demo"
    _run(exe, room, "demo", "--out", str(out))
    sheets = list(out.glob("*_sheet.pdf"))
    if len(sheets) != 1 or not sheets[0].read_bytes().startswith(b"%PDF-1.7"):
        raise NotRight("the demo came to no sheet")
    return f"demo to its sheet: {sheets[0].stat().st_size} bytes"


def _verify(exe: Path, room: Path) -> str:
    pack, office = SPECIMENS / "pack_form_1.zip", SPECIMENS / "office_ca.pem"
    done = _run(exe, room, "verify", str(pack), "--ca", str(office), "--json")
    outcome = json.loads(done.stdout)["outcome"]
    if outcome != "genuine":
        raise NotRight(f"the specimen of a pack is {outcome}, not genuine")
    return f"verify {pack.name}: {outcome}"


def _archive(exe: Path, room: Path) -> str:
    """The office's archive opens: its steps are read as files, which a bundle has to bring along."""
    copied = shutil.copy(SPECIMENS / "archive_form_1.coreleaf-archive", room / "archive")
    said = _run(exe, room, "archive", "roots", "--place", str(copied)).stdout
    if not re.search(r"[0-9a-f]{64}", said):
        raise NotRight(f"the archive gives no root: {said}")
    return "archive opened, with its root"


def _workbook(exe: Path, room: Path) -> str:
    """The bundle answers for the one child that the program starts of itself."""
    import openpyxl

    book, path = openpyxl.Workbook(), room / "readings.xlsx"
    book.active.append(["volts", "milliamps"])
    book.save(path)
    limits = json.dumps({"memory": 768_000_000, "rows": 10, "columns": 10, "cells": 100, "unpacked": 10**7})
    done = _run(exe, room, "-m", "app.exchange.workbook_child", str(path), limits)
    if json.loads(done.stdout).get("rows", [[]])[0] != ["volts", "milliamps"]:
        raise NotRight(f"a workbook was not read: {done.stdout[:200]}")
    return "workbook read by the child process"


def _window(exe: Path, room: Path) -> str:
    fill_in(room)
    return f"window painted offscreen after {start_of_window_ms([str(exe)], room):.0f} ms"


def _files(folder: Path) -> str:
    """Licences are there, Qt's libraries are files of their own, and what must stay out did."""
    names = [path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()]
    strange = [name for name in names if FORBIDDEN.search(name)]
    if strange:
        raise NotRight(f"{strange[0]} should not be in the bundle")
    if sys.platform.startswith("linux") and shutil.which("dpkg-query"):
        _system_licences(names)
    wanted = ["licences/LIST.txt", "licences/python/LICENSE.txt", "resources/notices/LGPL-3.0.txt", "LICENSE"]
    missing = [one for one in wanted if not any(name.endswith(one) for name in names)]
    if missing:
        raise NotRight(f"{missing[0]} is not in the bundle")
    if sys.platform.startswith("linux") and not any(name.endswith("libQt6Core.so.6") for name in names):
        raise NotRight("Qt's core is no library of its own, so nobody can replace it")
    return f"{len(names)} files, Qt's libraries and the licences among them"


def _system_licences(names: list[str]) -> None:
    """A library of the system's own packages has its licence beside it."""
    if any("libglib-2.0" in name for name in names) and not any(
        "licences/system/libglib" in name for name in names
    ):
        raise NotRight("libglib is in the bundle without its licence")


def _listed(folder: Path) -> dict[str, tuple[int, int]]:
    """Every file with its size and when it was written."""
    found = {path: path.lstat() for path in folder.rglob("*")}
    return {str(path): (about.st_size, about.st_mtime_ns) for path, about in found.items()}


def _run(exe: Path, room: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [str(exe), *arguments], cwd=room, env=_environment(room), capture_output=True, text=True, check=False,
        timeout=300, encoding="utf-8",
    )  # fmt: skip
    if done.returncode:
        raise NotRight(f"{' '.join(arguments)} ended with {done.returncode}: {done.stderr.strip()[-2000:]}")
    return done


def _environment(room: Path, more: Mapping[str, str] = {}) -> dict[str, str]:
    """Nothing of the Python that built it, and a home of its own."""
    kept = {name: os.environ[name] for name in ("SYSTEMROOT", "TEMP", "TMP", "LANG") if name in os.environ}
    path = os.environ.get("PATH", "") if os.name == "nt" else "/usr/bin:/bin"
    return {**kept, "PATH": path, "HOME": str(room), "CORELEAF_HOME": str(room / "home"), **more}
