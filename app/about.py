"""What this program is: its version, the build, and every library that it runs on, with its licence."""

from __future__ import annotations

import json
import platform
import re
from dataclasses import dataclass
from importlib import metadata
from importlib.resources import files
from typing import Any, Final

from ctcore import __version__

# Format: written when a bundle is built: {"commit": "...", "committed": "..."}; a source tree has none.
BUILD_FILE: Final = "build.json"
_ROW: Final = re.compile(r"^\| (?P<names>[^|]+) \| (?P<licence>[^|]+) \| (?P<use>[^|]+) \|$", re.MULTILINE)
_IN_BRACKETS: Final = re.compile(r"\s*\([^)]*\)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Library:
    """One line of the notices: names of packages with the versions in use, licence, what it is used for."""

    names: tuple[str, ...]
    name_text: str
    licence_text: str
    use_text: str


def build_text() -> str:
    """Which state of the source this program was built from."""
    try:
        found: Any = json.loads((files("resources") / BUILD_FILE).read_text("utf-8"))
        commit, at = str(found["commit"]), str(found["committed"])
    except (OSError, ValueError, KeyError, TypeError):
        return "run from its source, not built"
    return f"build {commit} of {at}"


def summary() -> tuple[str, ...]:
    """Version and build, then what it runs on, a line each."""
    from app.jobstore.engine import engine_version

    return (
        f"Coreleaf {__version__}, {build_text()}",
        f"Python {platform.python_version()}",
        f"Qt {version_of('PySide6_Essentials') or 'not installed'}",
        f"SQLite {engine_version()}",
        f"System {platform.system()} {platform.release()} {platform.machine()}",
    )


def libraries() -> tuple[Library, ...]:
    """Every library of the notices, with the version of each package that is installed here."""
    text = (files("resources") / "notices" / "THIRD-PARTY.md").read_text("utf-8")
    rows = [found for found in _ROW.finditer(text) if found["names"] != "package"]
    return tuple(_library(found) for found in rows)


def version_of(name: str) -> str:
    """The version of an installed package; empty where there is none of that name."""
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return ""


def _library(found: re.Match[str]) -> Library:
    names = tuple(_IN_BRACKETS.sub("", found["names"]).split(", "))
    versions = {name: version_of(name.replace(" ", "_")) for name in names}
    named = ", ".join(f"{name} {versions[name]}".strip() for name in names)
    return Library(
        names=names, name_text=named, licence_text=found["licence"].strip(), use_text=found["use"].strip()
    )
