"""Licences of everything in the bundle, out of what the installed packages state about themselves."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import sysconfig
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Final

from packaging.requirements import Requirement

ROOT: Final = Path(__file__).resolve().parents[2]
# The extras that the bundle is made of: the program and the office's archive.
EXTRAS: Final = ("app", "office")
_TEXTS: Final = re.compile(r"(licen[cs]e|copying|notice|authors)[^/]*$", re.IGNORECASE)
_HEADINGS: Final = ("Name", "Version", "License-Expression", "License", "Home-page", "Project-URL")
SYSTEM_TEXTS: Final = Path("/usr/share/doc")
COMMON_TEXTS: Final = Path("/usr/share/common-licenses")
_COMMON: Final = re.compile(rf"{COMMON_TEXTS}/([\w.+-]+)")
_CLASSIFIER: Final = "License :: OSI Approved :: "


@dataclass(frozen=True, slots=True, kw_only=True)
class Packaged:
    """One installed package: name as published, version, licence as stated, and its licence texts."""

    name: str
    version: str
    licence_text: str
    texts: tuple[tuple[str, bytes], ...]


def packages() -> list[Packaged]:
    """Every package that the program and the archive need, in the order of their names."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = (row for extra in EXTRAS for row in project["optional-dependencies"][extra])
    found: dict[str, metadata.Distribution] = {}
    for row in (*project["dependencies"], *extras):
        _take(Requirement(row), found)
    return [_packaged(found[name]) for name in sorted(found)]


def plain_name(name: str) -> str:
    """A name as package indexes compare them.

    >>> plain_name("PySide6_Essentials")
    'pyside6-essentials'
    """
    return re.sub(r"[-_.]+", "-", name).lower()


def write_texts(folder: Path) -> list[Packaged]:
    """Put the list, Python's licence and the texts of every package into a folder of their own."""
    found = packages()
    for one in found:
        for name, text in one.texts:
            _write(folder / f"{plain_name(one.name)}-{one.version}" / name, text)
    python = Path(sysconfig.get_path("stdlib")) / "LICENSE.txt"
    _write(folder / "python" / "LICENSE.txt", python.read_bytes())
    for name, text in _texts_of(metadata.distribution("pyinstaller")):
        _write(folder / "start-of-the-bundle" / name, text)
    lines = "".join(f"{one.name} {one.version}: {one.licence_text}\n" for one in found)
    _write(folder / "LIST.txt", lines.encode())
    return found


def of_the_system(libraries: Iterable[Path]) -> list[tuple[str, Path]]:
    """Where the licences of libraries go that the system's own packages brought, each with the text there.

    Nothing where the system has no such packages; a library that no package owns came with Python or a wheel.
    """
    texts = {package: SYSTEM_TEXTS / package / "copyright" for package in _owners(libraries)}
    found = {f"licences/system/{package}/copyright": path for package, path in texts.items() if path.exists()}
    for path in list(found.values()):
        for name in _COMMON.findall(path.read_text(encoding="utf-8", errors="replace")):
            common = COMMON_TEXTS / name.rstrip(".")
            if common.is_file():
                found[f"licences/system/common-licenses/{common.name}"] = common
    return sorted(found.items())


def _owners(libraries: Iterable[Path]) -> set[str]:
    """The packages of the system that these files belong to."""
    query = shutil.which("dpkg-query")
    own = Path(sys.prefix).resolve()
    there = [path.resolve() for path in libraries if path.is_absolute()]
    outside = {path for path in there if not path.is_relative_to(own)} if query else set()
    # A system whose /lib leads to /usr/lib may have written down either.
    names = {str(path) for path in outside} | {str(path).removeprefix("/usr") for path in outside}
    if not names:
        return set()
    done = subprocess.run(
        [str(query), "--search", *sorted(names)], capture_output=True, text=True, check=False
    )
    return {line.split(":", 1)[0] for line in done.stdout.splitlines() if not line.startswith("diversion ")}


def write_metadata(folder: Path) -> None:
    """What the program looks up about its packages while it runs: their versions."""
    for one in packages():
        about = metadata.metadata(one.name)
        lines = [f"{name}: {' '.join(str(about[name]).split())}" for name in _HEADINGS if about.get(name)]
        words = "\n".join(["Metadata-Version: 2.1", *lines, ""])
        _write(folder / f"{one.name.replace('-', '_')}-{one.version}.dist-info" / "METADATA", words.encode())


def _take(wanted: Requirement, found: dict[str, metadata.Distribution]) -> None:
    name = plain_name(wanted.name)
    try:
        distribution = metadata.distribution(wanted.name)
    except metadata.PackageNotFoundError:
        return  # wanted on another system alone
    known = name in found
    found[name] = distribution
    if known and not wanted.extras:
        return
    for requirement in _needs(distribution, wanted.extras):
        _take(requirement, found)


def _needs(distribution: metadata.Distribution, extras: Iterable[str]) -> Iterator[Requirement]:
    for row in distribution.requires or ():
        needed = Requirement(row)
        marker = needed.marker
        if marker is None or any(marker.evaluate({"extra": extra}) for extra in ("", *extras)):
            yield needed


def _packaged(distribution: metadata.Distribution) -> Packaged:
    about = distribution.metadata
    stated = about.get("License-Expression") or ""
    if not stated:
        classified = [row for row in about.get_all("Classifier") or () if row.startswith(_CLASSIFIER)]
        stated = ", ".join(row.removeprefix(_CLASSIFIER) for row in classified)
    if not stated:
        stated = (about.get("License") or "").strip().splitlines()[0]
    return Packaged(
        name=about["Name"],
        version=distribution.version,
        licence_text=stated,
        texts=tuple(_texts_of(distribution)),
    )


def _texts_of(distribution: metadata.Distribution) -> Iterator[tuple[str, bytes]]:
    for entry in distribution.files or ():
        inside = "/".join(entry.parts[1:])
        if not entry.parts[0].endswith(".dist-info") or inside.endswith((".py", ".pyc")):
            continue
        if inside.startswith("licenses/") or _TEXTS.search(inside):
            yield inside.removeprefix("licenses/"), Path(str(entry.locate())).read_bytes()


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
