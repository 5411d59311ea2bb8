"""Verbs of the copies: make one, say when the last was made, bring one back, work on with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

from app.desk.seen import Memory
from app.desk.two_stores import StoreSide, side_by_side
from app.desk.view import Refusal
from app.desk.wall_clock import moment
from app.jobstore import Store, StoreProblem
from app.jobstore.copies import Copy, copies_in, device_of, heads_of, make_copy, restore, thin
from app.settings import Settings, profile_folder

# Practice: a copy on another device at least once a week (common practice, no source).
OVERDUE_AFTER: Final = timedelta(days=7)
FOLDER: Final = "copies"
_ANY, _AWAY = "copied", "copied_away"


@dataclass(frozen=True, slots=True, kw_only=True)
class CopyLine:
    """One copy that counts."""

    path: Path
    when_text: str
    where_text: str
    away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CopiesView:
    """The copies, the newest first, and what there is to say about them. `overdue` asks for one elsewhere."""

    lines: tuple[CopyLine, ...]
    last_text: str
    away_text: str
    overdue: bool
    trouble_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """A copy brought back to a file of its own, beside the store in use; None where that cannot be read."""

    path: Path
    present: StoreSide | None
    restored: StoreSide


class CopyKeeper:
    """Makes and finds copies of the store of these settings. Nothing here needs the store to be open.

    It may run in a thread of its own while the store is written.
    """

    def __init__(self, settings: Settings, *, clock: Callable[[], datetime] | None = None) -> None:
        self._settings = settings
        self._clock = clock or (lambda: datetime.now(UTC).astimezone())
        self._memory = Memory(profile_folder(settings.folder))

    @property
    def store(self) -> Path:
        """The store that is worked on."""
        return self._settings.store_path

    def make(self, also: Path | None = None) -> CopiesView:
        """Make a copy in every folder named, and thin what is there; what failed stands in the answer."""
        if not self.store.exists():
            return self.view()
        return self._make_all([*self._folders(), *([also] if also else [])])

    def make_due(self) -> CopiesView:
        """Make a copy in the folders that lack something of the store; one that is not there is told."""
        behind = self._behind()
        if not behind:
            return self.view()
        return self._make_all([one for one in self._folders() if one in behind or not one.is_dir()])

    def away_there(self) -> bool:
        """Whether the folder chosen for further copies is there, such as that of a device just connected."""
        return any(folder.is_dir() for folder in self._folders() if folder != self._home)

    def catch_up(self) -> CopiesView | None:
        """Make a copy where a device missed one that was made meanwhile; None where none did."""
        device_id = device_of(self.store)
        made = _newest_ends(_of_device(self._home, device_id)) or {}
        missed = []
        for folder in self._folders():
            held = _newest_ends(_of_device(folder, device_id)) or {}
            if folder.is_dir() and any(n > held.get(one, (0, ""))[0] for one, (n, _head) in made.items()):
                missed.append(folder)
        return self._make_all(missed) if missed else None

    def make_before_upgrade(self) -> None:
        """Make a copy of the form that the store has. Raises StoreProblem where none was made and checked."""
        view = self.make()
        if self._home in self._behind():
            raise StoreProblem(
                f"The store {self.store.name} was left exactly as it was. Before it is brought to the form "
                f"of this program a copy of it has to be made and checked. {view.trouble_text}"
            )

    def due(self) -> bool:
        """Whether something was entered since the last copy in a folder that is there."""
        return bool(self._behind())

    def view(self, *, trouble_text: str = "") -> CopiesView:
        """What copies there are."""
        device_id = device_of(self.store)
        lines = [
            self._line(copy) for copy in sorted(self._copies(), key=lambda one: one.made_at, reverse=True)
        ]
        now = self._clock()
        last, away = (self._memory.copied_at(device_id, kind) for kind in (_ANY, _AWAY))
        return CopiesView(
            lines=tuple(lines),
            last_text="" if last is None else _on_the_wall(last, now),
            away_text="" if away is None else ago(now - away),
            overdue=away is None or now - away > OVERDUE_AFTER,
            trouble_text=trouble_text,
        )

    def newest(self) -> CopyLine | None:
        """The copy that goes furthest, whatever the clock said when it was made; None where there is none."""
        lasts = {copy.path.parent: copy for copy in self._copies_by_number()}
        found = max(lasts.values(), key=lambda copy: (_length(copy), copy.made_at), default=None)
        return None if found is None else self._line(found)

    def bring_back(self, copy: Path, target: Path | None = None) -> Path:
        """Bring a copy back to a new file beside the store, read again; nothing is written over."""
        if not copy.exists():
            raise Refusal(f"Nothing was changed: {copy} is not there. Connect the device that it lies on.")
        stamp = f"{self._clock().astimezone(UTC):%Y-%m-%dT%H%M%SZ}"
        path = target or self.store.with_name(f"store-brought-back-{stamp}.sqlite")
        restore(copy, path, check=self._look_at)
        return path

    def work_with(self, path: Path) -> str:
        """Work on with another store from the next opening on; the one before is kept, and named."""
        if path.parent.resolve() != self.store.parent.resolve() or not path.exists():
            raise Refusal(f"Nothing was changed: {path.name} does not lie beside the store.")
        before = self.store.name
        opened = Store.open(path, read_only=True)
        try:
            self._memory.keep_heads(opened.heads(), self._clock())
        finally:
            opened.close()
        self._settings.change(store_name_text=path.name)
        return f"{path.name} is worked on from now on. The one before is kept as {before}."

    # Plumbing

    def _make_all(self, folders: Sequence[Path]) -> CopiesView:
        device_id = device_of(self.store)
        troubles = []
        for folder in folders:
            try:
                if folder != self._home and not folder.is_dir():
                    raise StoreProblem(
                        f"Everything saved is in the store. No copy was made in {folder}, because that "
                        "folder is not there: connect the device, or choose another in the preferences."
                    )
                self._make_in(_of_device(folder, device_id), device_id)
            except StoreProblem as problem:
                troubles.append(problem.sentence)
        return self.view(trouble_text=" ".join(troubles))

    def _behind(self) -> list[Path]:
        """The folders that are there of which the newest copy lacks something of the store."""
        if not self.store.exists():
            return []
        device_id, now = device_of(self.store), _ends(self.store)
        places = [folder for folder in self._folders() if folder == self._home or folder.is_dir()]
        if now is None:
            return places
        return [folder for folder in places if _newest_ends(_of_device(folder, device_id)) != now]

    @property
    def _home(self) -> Path:
        return self._settings.folder / FOLDER

    def _folders(self) -> list[Path]:
        chosen = self._settings.get("copies_folder_text").strip()
        return [self._home, *([Path(chosen).expanduser()] if chosen else [])]

    def _make_in(self, folder: Path, device_id: str) -> None:
        at = self._clock()
        made = make_copy(self.store, folder, at=at.astimezone(UTC), check=self._look_at)
        self._memory.keep_copied(device_id, _ANY, at)
        if self._is_away(made.path):
            self._memory.keep_copied(device_id, _AWAY, at)
        thin(folder)

    def _look_at(self, store: Store) -> Sequence[str]:
        """What is found wrong with a copy: pages, trail, readings, records, files, and every signature."""
        from app.desk.chains import StorePapers
        from app.record.trust import trust_in
        from app.record.verify import verify_path

        trust = trust_in(self._settings.folder / "trust")
        verdict = verify_path(store.path, trust=trust, store=StorePapers(store))
        return verdict.sentences if verdict.outcome == "altered" else ()

    def _copies(self) -> list[Copy]:
        """Every copy of this store that can be seen, or of any where this one cannot be read."""
        return sorted(self._copies_by_number(), key=lambda one: (one.made_at, one.number))

    def _copies_by_number(self) -> list[Copy]:
        device_id = device_of(self.store) if self.store.exists() else ""
        found: list[Copy] = []
        for folder in self._folders():
            for place in [_of_device(folder, device_id)] if device_id else self._places_known(folder):
                found += copies_in(place)
        return found

    def _places_known(self, folder: Path) -> list[Path]:
        """Where copies of stores that were copied from here lie; where none is known, those of any.

        Several computers may share a stick: the store of another is not brought back in place of this one.
        """
        mine = {_of_device(folder, one).name for one in self._memory.devices_copied(_ANY)}
        return [place for place in sorted(folder.glob("*")) if not mine or place.name in mine]

    def _line(self, copy: Copy) -> CopyLine:
        local = copy.made_at.astimezone(self._clock().tzinfo)
        offset = local.utcoffset() or timedelta()
        return CopyLine(
            path=copy.path,
            when_text=moment(copy.made_at.isoformat(), int(offset.total_seconds() // 60)),
            where_text=str(copy.path.parent),
            away=self._is_away(copy.path),
        )

    def _is_away(self, path: Path) -> bool:
        """Whether a file lies on another device than the store."""
        try:
            return path.stat().st_dev != self.store.parent.stat().st_dev
        except OSError:
            return False


def compared_with(store: Path | None, path: Path) -> Restored:
    """The same for a store that is not open here: it is opened for reading only."""
    if store is None or not store.exists():
        return compared(None, path)
    present = Store.open(store, read_only=True)
    try:
        return compared(present, path)
    finally:
        present.close()


def compared(present: Store | None, path: Path) -> Restored:
    """A store that was brought back beside the present one."""
    restored = Store.open(path, read_only=True)
    try:
        if present is None:
            # Nothing is known of a store that cannot be read but its file.
            return Restored(path=path, present=None, restored=side_by_side(restored, restored)[0])
        sides = side_by_side(present, restored)
        return Restored(path=path, present=sides[0], restored=sides[1])
    finally:
        restored.close()


def ago(gone: timedelta) -> str:
    """How long ago in words.

    >>> ago(timedelta(days=3, hours=5)), ago(timedelta(minutes=1)), ago(timedelta(hours=2))
    ('3 days ago', 'within the hour', '2 hours ago')
    """
    hours = int(gone.total_seconds() // 3600)
    if hours < 1:
        return "within the hour"
    if hours < 48:
        return "1 hour ago" if hours == 1 else f"{hours} hours ago"
    return f"{hours // 24} days ago"


def _ends(path: Path) -> dict[str, tuple[int, str]] | None:
    """Where the trails of a store or copy end; None where it cannot be read."""
    try:
        return heads_of(path)
    except StoreProblem:
        return None


def _newest_ends(place: Path) -> dict[str, tuple[int, str]] | None:
    copies = copies_in(place)
    return _ends(copies[-1].path) if copies else None


def _length(copy: Copy) -> int:
    """How many entries a copy holds."""
    return sum(n for n, _head in (_ends(copy.path) or {}).values())


def _of_device(folder: Path, device_id: str) -> Path:
    """Two stores that share a stick keep their copies apart."""
    return folder / f"coreleaf-{device_id[:8]}"


def _on_the_wall(at: datetime, now: datetime) -> str:
    local = at.astimezone(now.tzinfo)
    return f"{local:%H:%M}" if local.date() == now.date() else f"{local:%Y-%m-%d %H:%M}"
