"""Licences of everything in the bundle, out of what the installed packages state about themselves."""

from __future__ import annotations

import re
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
