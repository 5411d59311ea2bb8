"""The exchange folder, looked at in a thread of its own: a share that hangs holds nobody up."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from app.settings import Settings
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.exchange.folder import Folder, FolderFile

FIRST_AFTER_MS: Final = 4000
# A file counts as whole once it stood still from one look to the next.
EVERY_MS: Final = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderView:
    """What waits in the folder; `trouble_text` says why it cannot be looked at."""

    named: bool = False
    files: tuple[FolderFile, ...] = ()
    trouble_text: str = ""

    @property
    def words(self) -> str:
        """For the line at the foot; empty where nothing waits."""
        ready = sum(one.state == "ready" and not one.said_text for one in self.files)
        return text("exchange.foot", count=ready) if ready else ""


class FolderWatch(QObject):
    """`told` follows what waits. One look at a time: one that hangs is not asked again."""

    told = Signal(object)
    _arrived = Signal(object)

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.view = FolderView()
        self._settings = settings
        self._folder: Folder | None = None
        self._named = ""
        self._busy = self._closed = False
        self._due = QTimer(self, singleShot=True)
        self._due.timeout.connect(self.look)
        # Qt: a queued connection carries the result from the looking thread to the window's (6.11).
        self._arrived.connect(self._take, Qt.ConnectionType.QueuedConnection)

    def watch(self) -> None:
        """Look from now on."""
        self._due.start(FIRST_AFTER_MS)

    @property
    def folder(self) -> Folder | None:
        """The folder that the preferences name; another object once another one is named."""
        named = self._settings.get("exchange_folder_text")
        if named != self._named:
            from app.desk.folder import folder_of

            self._folder, self._named = folder_of(self._settings), named
        return self._folder

    def look(self) -> None:
        """Look once; what is found is told."""
        if self._busy or self._closed:
            return
        folder = self.folder
        if folder is None:
            self._take(FolderView())
            return
        self._busy = True
        threading.Thread(target=self._look_apart, args=(folder,), name="folder", daemon=True).start()

    def close(self) -> None:
        """Look no more; a look that hangs is not waited for."""
        self._closed = True
        self._due.stop()
        # Qt: results still on their way would find a window that is gone (6.11).
        self._arrived.disconnect()

    def _look_apart(self, folder: Folder) -> None:
        from app.desk.folder import waiting_in
        from app.desk.view import Refusal

        try:
            view = FolderView(named=True, files=tuple(waiting_in(folder)))
        except Refusal as problem:
            view = FolderView(named=True, trouble_text=retold(problem.sentence))
        if not self._closed:
            self._arrived.emit(view)

    def _take(self, view: FolderView) -> None:
        self._busy = False
        self.view = view
        self.told.emit(view)
        self._due.start(EVERY_MS)
