"""Long work behind the window: what it does, how far it is, and a button that stops it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QDialog, QHBoxLayout, QSizePolicy, QWidget

from app.progress import Work, under
from app.ui.shell.key_button import PlainButton
from app.ui.shell.lettering import Line, Panel
from app.ui.texts import text
from app.ui.writer import Writer

if TYPE_CHECKING:
    from app.ui.window import MainWindow

# What is over sooner is not worth a line that comes and goes.
SHOWN_AFTER_MS: Final = 500
STOP_KEY: Final = "Ctrl+."


class WorkLine(Panel):
    """What is being done, n of N, and Stop."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("band", rules="top", parent=parent)
        self.setFixedHeight(48)
        self.words = Line(role="value", bold=True)
        self.stop = PlainButton(text("work.stop", key=STOP_KEY), STOP_KEY)
        self.stop.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.stop.answer_key()
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 2, 8, 2)
        row.addWidget(self.words, 1)
        row.addWidget(self.stop)
        self.hide()


@dataclass(eq=False)
class _Running:
    """One work on its way, and the dialog that steps aside for it."""

    name: str
    work: Work
    aside: QDialog | None = None
    done: int = 0
    count: int = 0


class Works(QObject):
    """Watches verbs on the writer's thread, and runs on a thread of its own what needs no store."""

    _begun = Signal(object)
    _went_on = Signal(object, int, int)
    _ended = Signal(object, bool)

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._running: list[_Running] = []
        self._line: WorkLine | None = None
        self._behind: Writer | None = None
        self._timer = QTimer(self, singleShot=True, interval=SHOWN_AFTER_MS)
        self._timer.timeout.connect(self._show)
        # Qt: a queued connection carries the steps from the work's thread to the window's (6.11).
        queued = Qt.ConnectionType.QueuedConnection
        self._begun.connect(self._take_begun, queued)
        self._went_on.connect(self._take_step, queued)
        self._ended.connect(self._take_end, queued)

    @property
    def line(self) -> WorkLine:
        """The line above the foot, made when the first work is long."""
        if self._line is None:
            self._line = WorkLine()
            self._line.stop.clicked.connect(self.stop)
            self._window.put_at_foot(self._line)
        return self._line

    def watched(
        self, name: str, verb: Callable[..., Any], *, aside: QDialog | None = None
    ) -> Callable[..., Any]:
        """The same verb, watched; `name` stands in the text table under `work.<name>`.

        Where it lasts, a dialog named steps aside so that the window can be used; it comes back where the
        work fails or is stopped.
        """
        return self._under(_Running(name, Work(lambda _done, _all: None), aside), verb)

    def behind(
        self,
        name: str,
        make: Callable[[], Any],
        *,
        done: Callable[[Any], None],
        failed: Callable[[BaseException], None],
    ) -> Work:
        """Run what needs no store on a thread of its own: the writer goes on meanwhile."""
        if self._behind is None:
            self._behind = Writer(self)
        running = _Running(name, Work(lambda _done, _all: None))
        self._behind.submit(self._under(running, make), done=done, failed=failed)
        return running.work

    def stop(self) -> None:
        """Stop whatever is on its way and not being written yet."""
        for running in self._running:
            running.work.stop()

    def close(self) -> None:
        """The window closes: what is not being written yet is stopped."""
        self.stop()
        self._timer.stop()
        if self._behind is not None:
            self._behind.close()

    def _under(self, running: _Running, verb: Callable[..., Any]) -> Callable[..., Any]:
        running.work = Work(lambda done, count: self._went_on.emit(running, done, count))

        def run(*args: Any, **kwargs: Any) -> Any:
            self._begun.emit(running)
            failed = True
            try:
                with under(running.work):
                    found = verb(*args, **kwargs)
                failed = False
                return found
            finally:
                self._ended.emit(running, failed)

        return run

    def _take_begun(self, running: _Running) -> None:
        self._running.append(running)
        if not self._timer.isActive():
            self._timer.start()

    def _take_step(self, running: _Running, done: int, count: int) -> None:
        running.done, running.count = done, count
        if self._line is not None and self._line.isVisible():
            self._tell()

    def _take_end(self, running: _Running, failed: bool) -> None:
        if running in self._running:
            self._running.remove(running)
        if running.aside is not None and failed:
            running.aside.show()
        if not self._running:
            self._timer.stop()
            if self._line is not None:
                self._line.hide()
        elif self._line is not None and self._line.isVisible():
            self._tell()

    def _show(self) -> None:
        if not self._running:
            return
        for running in self._running:
            if running.aside is not None:
                running.aside.hide()
        self._tell()
        self.line.show()

    def _tell(self) -> None:
        running = self._running[0]
        words = text(f"work.{running.name}")
        if running.count:
            # A person counts the one in hand.
            number = min(running.done + 1, running.count)
            words = text("work.so_far", what=words, done=number, all=running.count)
        self.line.words.set_text(words)
        self.line.stop.set_reason(text("work.whole") if running.work.whole else "")
