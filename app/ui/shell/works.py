"""Long work behind the window: what it does, how far it is, and a button that stops it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final
from weakref import WeakSet

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QDialog, QHBoxLayout, QSizePolicy, QWidget

from app.progress import Unit, Work, under
from app.ui.shell.key_button import PlainButton
from app.ui.shell.lettering import Line, Panel
from app.ui.shell.session import sentence_of
from app.ui.texts import text
from app.ui.writer import Writer

if TYPE_CHECKING:
    from app.desk import Desk
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


class _Running:
    """One work on its way, and the dialog that steps aside for it."""

    def __init__(self, name: str, tell: Callable[[_Running, int, int, Unit], object], aside: QDialog | None):
        self.name, self.aside = name, aside
        self.work = Work(lambda *step: tell(self, *step))
        self.done, self.count = 0, 0
        self.unit: Unit = "piece"


class Works(QObject):
    """Watches verbs on the writer's thread, and runs on a thread of its own what needs no store."""

    _begun = Signal(object)
    _went_on = Signal(object, int, int, str)
    _ended = Signal(object, bool)

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._running: list[_Running] = []
        # Whatever was asked for and is not over, begun or not.
        self._asked: WeakSet[_Running] = WeakSet()
        self._closed = False
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
        return self._under(self._running_of(name, aside), verb)

    def made(
        self,
        name: str,
        ask: Callable[[Desk], Callable[[], Any]],
        *,
        done: Callable[[Any], None],
        refused: Callable[[str], None],
        aside: QDialog | None = None,
    ) -> None:
        """Ask the desk for what makes something, and run that on a thread of its own, as one work."""
        running = self._running_of(name, aside)

        def failed(problem: BaseException) -> None:
            sentence = sentence_of(problem)
            if sentence is None:
                self._window.deeds.report(problem)
            else:
                refused(sentence)

        self._window.session.fetch(
            self._under(running, ask, ends=False),
            done=lambda make: self._submit(running, make, done, failed),
            refused=refused,
        )

    def behind(
        self,
        name: str,
        make: Callable[[], Any],
        *,
        done: Callable[[Any], None],
        failed: Callable[[BaseException], None],
    ) -> Work:
        """Run what needs no store on a thread of its own: the writer goes on meanwhile."""
        running = self._running_of(name, None)
        self._submit(running, make, done, failed)
        return running.work

    def stop(self) -> None:
        """Stop whatever was asked for and is not being written yet."""
        for running in list(self._asked):
            running.work.stop()

    def close(self) -> None:
        """The window closes: what is not being written yet is stopped."""
        self._closed = True
        self.stop()
        self._timer.stop()
        if self._behind is not None:
            self._behind.close()

    def _running_of(self, name: str, aside: QDialog | None) -> _Running:
        running = _Running(name, self._went_on.emit, aside)
        self._asked.add(running)
        return running

    def _submit(
        self,
        running: _Running,
        make: Callable[[], Any],
        done: Callable[[Any], None],
        failed: Callable[[BaseException], None],
    ) -> None:
        if self._closed:
            # The window closed while the desk was still being asked.
            return
        if self._behind is None:
            self._behind = Writer(self)
        self._behind.submit(self._under(running, make), done=done, failed=failed)

    def _under(self, running: _Running, verb: Callable[..., Any], *, ends: bool = True) -> Callable[..., Any]:
        """The verb as that work, or as a part of it where it does not end with it."""

        def run(*args: Any, **kwargs: Any) -> Any:
            self._begun.emit(running)
            failed = True
            try:
                with under(running.work):
                    found = verb(*args, **kwargs)
                failed = False
                return found
            finally:
                if failed or ends:
                    self._ended.emit(running, failed)

        return run

    def _take_begun(self, running: _Running) -> None:
        if running not in self._running:
            self._running.append(running)
        if not self._timer.isActive():
            self._timer.start()

    def _take_step(self, running: _Running, done: int, count: int, unit: Unit) -> None:
        running.done, running.count, running.unit = done, count, unit
        if self._line is not None and self._line.isVisible():
            self._tell()

    def _take_end(self, running: _Running, failed: bool) -> None:
        if running in self._running:
            self._running.remove(running)
        if running.aside is not None and failed:
            # Qt: a dialog that was hidden is no longer modal until it is opened again (6.11).
            running.aside.open()
            running.aside.activateWindow()
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
        self._window.activateWindow()

    def _tell(self) -> None:
        running = self._running[0]
        words = text(f"work.{running.name}")
        if running.count:
            # A person counts the one in hand.
            number = min(running.done + 1, running.count)
            unit = text(f"work.unit_{running.unit}")
            words = text("work.so_far", what=words, unit=unit, done=number, all=running.count)
        self.line.words.set_text(words)
        self.line.stop.set_reason(text("work.whole") if running.work.whole else "")
