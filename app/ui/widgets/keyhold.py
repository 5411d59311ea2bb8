"""Keys typed while something is being saved wait, then go in order to the field that has the focus."""

from __future__ import annotations

from collections import deque

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.ui.writer import Writer


class KeyHold(QObject):
    """Holds the keys of one page from the start of a commit to its end, then plays them again one by one.

    A key played again may start the next commit: the rest waits for that one.
    """

    def __init__(self, writer: Writer, page: QWidget) -> None:
        super().__init__(page)
        self._writer = writer
        self._page = page
        self._held: deque[QKeyEvent] = deque()
        self._playing = False
        application = QApplication.instance()
        assert application is not None
        application.installEventFilter(self)
        writer.busy_changed.connect(self._play)

    @property
    def held_count(self) -> int:
        """How many keys wait."""
        return len(self._held)

    def drop(self) -> None:
        """Forget the keys that wait: their field did not take what came before them."""
        self._held.clear()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take key presses of the page while something is on its way."""
        if not self._writer.busy or self._playing or not self._is_ours(watched):
            return False
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        if event.type() != QEvent.Type.KeyPress:
            return False
        key = event
        assert isinstance(key, QKeyEvent)
        self._held.append(key.clone())
        event.accept()
        return True

    def _is_ours(self, watched: QObject) -> bool:
        return isinstance(watched, QWidget) and (watched is self._page or self._page.isAncestorOf(watched))

    def _play(self, busy: bool) -> None:
        while not busy and self._held and not self._writer.busy:
            target = QApplication.focusWidget()
            if target is None or not self._is_ours(target):
                self._held.clear()
                return
            event = self._held.popleft()
            self._playing = True
            try:
                QApplication.sendEvent(target, event)
            finally:
                self._playing = False
