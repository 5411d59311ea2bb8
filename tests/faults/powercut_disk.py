"""What a disk may hold after the power went: everything synced, and of the rest whatever chance leaves."""

from __future__ import annotations

import random
import struct
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Literal

Style = Literal["none", "all", "prefix", "torn", "garbage"]
STYLES: tuple[Style, ...] = ("none", "all", "prefix", "torn", "garbage")

_SECTOR = 512
_LENGTHS = struct.Struct("=qqqq")


@dataclass(frozen=True, slots=True)
class Note:
    """One note of the recorder."""

    what: str
    path: str
    second: str
    offset: int
    data: bytes


@dataclass(frozen=True, slots=True)
class _Write:
    """Bytes at an offset, or a cut to that length where there are none."""

    offset: int
    data: bytes | None


@dataclass(slots=True)
class _File:
    synced: bytes = b""
    waiting: list[_Write] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Naming:
    """A name that comes to stand for a file or a folder (None), or goes."""

    path: str
    file: _File | None = None
    gone: bool = False


def read_notes(log: Path) -> list[Note]:
    """The notes of a recording in order."""
    data = log.read_bytes()
    notes, at = [], 0
    while at < len(data):
        what = chr(data[at])
        path_size, second_size, offset, size = _LENGTHS.unpack_from(data, at + 1)
        at += 1 + _LENGTHS.size
        path = data[at : at + path_size].decode()
        second = data[at + path_size : at + path_size + second_size].decode()
        at += path_size + second_size
        held = size if what in "WA" else 0
        notes.append(Note(what, path, second, offset, data[at : at + held]))
        at += held
    return notes


class Disk:
    """Files and names, each with what is synced and what is waiting; names are synced by their folder."""

    def __init__(self) -> None:
        self._now: dict[str, _File | None] = {}
        self._synced: dict[str, _File | None] = {}
        self._waiting: dict[str, list[_Naming]] = {}

    def hold(self, folder: Path) -> None:
        """Take over a folder as it lies there, all of it on the disk."""
        for path in sorted(folder.rglob("*")):
            file = None if path.is_dir() else _File(path.read_bytes())
            self._now[str(path)] = self._synced[str(path)] = file

    def apply(self, note: Note) -> None:
        """Do what the note says."""
        if note.what in "CM":
            self._name(_Naming(note.path, _File() if note.what == "C" else None))
        elif note.what == "U":
            self._name(_Naming(note.path, gone=True))
        elif note.what == "R":
            file = self._now[note.path]
            self._name(_Naming(note.path, gone=True))
            self._name(_Naming(note.second, file))
        elif note.what == "D":
            for naming in self._waiting.pop(note.path, []):
                _settle(self._synced, naming)
        else:
            self._write(note)

    def after_a_cut(self, chance: random.Random, style: Style) -> dict[str, bytes | None]:
        """One disk that may be found: bytes of each file by path, None for a folder."""
        names = dict(self._synced)
        for waiting in self._waiting.values():
            # A journal of names keeps their order: some of the first ones are on the disk.
            count = {"none": 0, "all": len(waiting)}.get(style, chance.randint(0, len(waiting)))
            for naming in waiting[:count]:
                _settle(names, naming)
        folders = {path for path, file in names.items() if file is None}
        known = {path for path in self._now_and_synced() if self._is_folder(path)}
        found: dict[str, bytes | None] = {}
        for path, file in names.items():
            lost = any(str(above) in known - folders for above in PurePosixPath(path).parents)
            if not lost:
                found[path] = None if file is None else _left_of(file, chance, style)
        return found

    def _name(self, naming: _Naming) -> None:
        _settle(self._now, naming)
        self._waiting.setdefault(str(PurePosixPath(naming.path).parent), []).append(naming)

    def _write(self, note: Note) -> None:
        file = self._now.get(note.path)
        if file is None:
            return
        if note.what == "S":
            file.synced = _folded(file.synced, file.waiting)
            file.waiting = []
        else:
            file.waiting.append(_Write(note.offset, note.data if note.what == "W" else None))

    def _now_and_synced(self) -> set[str]:
        return self._now.keys() | self._synced.keys()

    def _is_folder(self, path: str) -> bool:
        return self._now.get(path, self._synced.get(path, _File())) is None


def _settle(names: dict[str, _File | None], naming: _Naming) -> None:
    if naming.gone:
        names.pop(naming.path, None)
    else:
        names[naming.path] = naming.file


def _left_of(file: _File, chance: random.Random, style: Style) -> bytes:
    if style == "none":
        return file.synced
    if style == "all":
        return _folded(file.synced, file.waiting)
    if style == "prefix":
        return _folded(file.synced, file.waiting[: chance.randint(0, len(file.waiting))])
    kept: list[_Write] = []
    for write in file.waiting:
        if write.data is None:
            kept += [write] if chance.random() < 0.5 else []
        else:
            kept += _torn(write.offset, write.data, chance, garbage=style == "garbage")
    return _folded(file.synced, kept)


def _torn(offset: int, data: bytes, chance: random.Random, *, garbage: bool) -> list[_Write]:
    """Those sectors of a write that came through, some of them with anything in them where asked."""
    kept = []
    at = offset
    while at < offset + len(data):
        end = min(offset + len(data), (at // _SECTOR + 1) * _SECTOR)
        piece = data[at - offset : end - offset]
        luck = chance.random()
        if luck < 0.5:
            kept.append(_Write(at, piece))
        elif garbage and luck < 0.65:
            kept.append(_Write(at, chance.randbytes(len(piece))))
        at = end
    return kept


def _folded(start: bytes, writes: list[_Write]) -> bytes:
    data = bytearray(start)
    for write in writes:
        if write.data is None:
            del data[write.offset :]
            data.extend(bytes(max(0, write.offset - len(data))))
            continue
        data.extend(bytes(max(0, write.offset + len(write.data) - len(data))))
        data[write.offset : write.offset + len(write.data)] = write.data
    return bytes(data)
