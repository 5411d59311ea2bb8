"""Where everything lies, and how all of it is moved to another folder: copied, read again, then used."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from app import place, progress
from app.desk import surroundings
from app.desk.copies import FOLDER as COPIES
from app.desk.view import Refusal
from app.jobstore import Store, StoreProblem
from app.jobstore.attachments import folder_of
from app.jobstore.copies import heads_of
from app.record.copying import copy_files, files_in
from app.settings import Settings, profile_folder

# So much is left free on the disk that data goes to.
_SPARE_BYTES: Final = 100_000_000
# What is of one run alone, or is made again by itself: who holds a store, its reserve, unfinished files.
_OF_ONE_RUN: Final = (".lock", ".reserve", "-journal", ".partial", ".unchecked")
# Told over by the program while it runs, so never the same twice; the log of the old place stays there.
_LEFT_BEHIND: Final = frozenset({"log", "reports", place.SIGNPOST, place.MARK})


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceLine:
    """One kind of data and where it lies; `what` is an id of the texts."""

    what: str
    path: Path
    there: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceView:
    """Where everything lies; what to say about the folder; why it cannot be moved, empty where it can."""

    folder: Path
    lines: tuple[PlaceLine, ...]
    warning_text: str
    fixed_text: str
    before_text: str


def view(settings: Settings) -> PlaceView:
    """Where everything of these settings lies."""
    lines = [PlaceLine(what=what, path=path, there=path.exists()) for what, path in _paths(settings).items()]
    home = place.home_folder()
    return PlaceView(
        folder=settings.folder,
        lines=tuple(lines),
        warning_text=surroundings.warning(settings.folder),
        fixed_text=_why_fixed(settings),
        before_text="" if settings.folder in (home, Path()) or _why_fixed(settings) else str(home),
    )


def demand_there(folder: Path) -> None:
    """Refuse where data was moved to a folder that is not there at the moment: nothing is begun anew."""
    gone = place.why_gone(folder)
    if gone:
        raise StoreProblem(gone)


def look_at(settings: Settings, target: Path) -> str:
    """What there is to say about a folder before data is moved there; Refusal where it cannot go there."""
    target = _spelled(target)
    if fixed := _why_fixed(settings):
        raise Refusal(fixed)
    here = settings.folder.absolute()
    if target == here or target.is_relative_to(here) or here.is_relative_to(target):
        raise _refused(
            target, "it lies within the present one, or holds it", "choose a folder apart from that"
        )
    if target.exists() and not target.is_dir():
        raise _refused(target, "it is a file", "choose a folder")
    try:
        if target.is_dir() and any(target.iterdir()):
            raise _refused(target, "it holds something already", "choose an empty folder, or a new name")
        free_bytes = shutil.disk_usage(surroundings.nearest(target)).free
    except OSError as problem:
        raise _refused(target, f"it cannot be read ({problem.strerror})", "choose another") from problem
    wanted_bytes = sum((here / one).stat().st_size for one in _files(here)) + _SPARE_BYTES
    if free_bytes < wanted_bytes:
        room = (
            f"its disk has {free_bytes // 1_000_000} MB free, and {wanted_bytes // 1_000_000} MB are wanted"
        )
        raise _refused(target, room, "free some space, or choose another disk")
    return surroundings.warning(target)


def move(settings: Settings, target: Path, store: Store | None) -> str:
    """Copy everything to another folder, read it again, and use that from now on; what was here is kept.

    `store` is the one in use, open for writing and settled, so that nothing changes meanwhile; None where
    there is none yet. Refusal, with everything as it was, where it cannot be done.
    """
    target, here = _spelled(target), settings.folder.absolute()
    look_at(settings, target)
    if store is not None and store.read_only:
        raise Refusal(f"Nothing was moved. {store.read_only_reason}")
    made = target if not target.exists() else None
    try:
        places = _files(here)
        _demand_writable(target)
        copy_files(here, target, places)
        if store is not None:
            _demand_alike(store, target)
        progress.write_whole()
        place.put_signpost(target)
    except progress.Stopped:
        _take_away(target, made)
        raise
    except (OSError, StoreProblem) as problem:
        _take_away(target, made)
        reason = getattr(problem, "sentence", "") or getattr(problem, "strerror", None) or str(problem)
        raise _refused(target, f"it could not be copied ({reason})", "choose another folder") from problem
    settings.folder = target
    return (
        f"{len(places)} files were copied to {target} and read again, and are used from now on. What was in "
        f"{here} is kept there as it was."
    )


def _spelled(target: Path) -> Path:
    return Path(os.path.abspath(target.expanduser()))


def _paths(settings: Settings) -> Mapping[str, Path]:
    folder, store = settings.folder, settings.store_path
    chosen = settings.get("copies_folder_text").strip()
    paths = {
        "store": store,
        "attached": folder_of(store),
        "copies": folder / COPIES,
        "copies_away": Path(chosen).expanduser() if chosen else Path(),
        "keys": folder / "keys",
        "office": folder / "office",
        "trust": folder / "trust",
        "settings": folder / "settings.json",
        "profile": profile_folder(folder),
        "log": folder / "log",
        "reports": folder / "reports",
    }
    return {what: path for what, path in paths.items() if path != Path()}


def _why_fixed(settings: Settings) -> str:
    if settings.folder == place.data_folder():
        return ""
    return (
        "This folder belongs to a sample or to training and stays where it is; your own jobs lie elsewhere."
    )


def _files(here: Path) -> list[Path]:
    return files_in(here, leave_out=_is_left)


def _is_left(one: Path) -> bool:
    return one.parts[0] in _LEFT_BEHIND or one.name.endswith(_OF_ONE_RUN)


def _demand_writable(target: Path) -> None:
    """A folder may be listed and still take no file: one is written and taken away again."""
    target.mkdir(parents=True, exist_ok=True)
    probe = target / f".{secrets.token_hex(4)}.partial"
    try:
        probe.write_bytes(b"probe")
    finally:
        probe.unlink(missing_ok=True)


def _demand_alike(store: Store, target: Path) -> None:
    """The store that was copied is whole and ends where the one in use does."""
    path = target / store.path.name
    here = {head.device_id: (head.n, head.head) for head in store.heads()}
    if heads_of(path) != here:
        raise StoreProblem("its trail does not end where that of the store does")
    copied = Store.open(path, read_only=True)
    try:
        faults = copied.faults()
    finally:
        copied.close()
    if faults:
        raise StoreProblem(faults[0])


def _take_away(target: Path, made: Path | None) -> None:
    """What was copied in part goes again; the folder too, where it was made for it."""
    if made is not None:
        shutil.rmtree(made, ignore_errors=True)
        return
    for one in target.iterdir() if target.is_dir() else ():
        if one.is_dir():
            shutil.rmtree(one, ignore_errors=True)
        else:
            one.unlink(missing_ok=True)


def _refused(target: Path, why: str, what_to_do: str) -> Refusal:
    return Refusal(
        f"Everything is where it was. Data was not moved to {target}: {why.rstrip('.')}; {what_to_do}."
    )
