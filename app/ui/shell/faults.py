"""A view that fails to draw is covered by words and a button; the others go on, and nothing keyed is lost."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

import shiboken6
from PySide6.QtCore import QEvent, QObject, QRect, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.ui import theme
from app.ui.shell import again, crash
from app.ui.shell.key_button import PlainButton
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

# Where these stand among the calls, a view was being drawn; elsewhere an act of the user failed.
_DRAWING: Final = frozenset(
    (
        "paintEvent",
        "paint",
        "paintSection",
        "sizeHint",
        "minimumSizeHint",
        "resizeEvent",
        "showEvent",
        "data",
        "headerData",
        "show_change",
        "redraw",
        "dress",
        "show_lines",
    )
)


class Cover(QWidget):
    """Lies over a view: what is safe, what failed, and a button that draws the view again."""

    draw_asked = Signal()

    def __init__(self, view: QWidget, sentence: str) -> None:
        super().__init__(view)
        # Qt: what lies beneath an opaque child is not drawn, so the fault does not come again (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.words = Words(sentence, role="value", bold=True)
        self.button = PlainButton(text("fault.draw_again"))
        self.button.clicked.connect(self.draw_asked)
        column = QVBoxLayout(self)
        column.setContentsMargins(18, 14, 18, 14)
        column.addWidget(self.words)
        column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        self.setAccessibleName(sentence)
        self._view = view
        view.installEventFilter(self)
        self.fit()
        self.show()
        self.raise_()

    def fit(self) -> None:
        """As large as the view."""
        self.setGeometry(QRect(0, 0, self._view.width(), self._view.height()))

    def let_go(self) -> None:
        """The view goes on without it."""
        self._view.removeEventFilter(self)
        self.hide()
        self.deleteLater()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The view took another size."""
        if watched is self._view and event.type() == QEvent.Type.Resize:
            self.fit()
        return False

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Sheet colour in a heavy frame: trouble has no colour of its own."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        pen = QPen(theme.color("ink"), 3)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.drawRect(self.rect().adjusted(1, 1, -2, -2))


class Faults:
    """Takes every exception that nobody caught, and covers the view that it came from."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self._covers: dict[QWidget, Cover | None] = {}
        self._told: set[tuple[str, str, int]] = set()

    def report(self, problem: BaseException) -> None:
        """Say what is safe: over the view that failed to draw, else in the bar above the page."""
        if not _was_drawing(problem):
            self._window.bar.say(self._sentence(problem), offer=text("crash.again"), take=self._start_again)
        else:
            self.cover(_view_of(problem), problem)

    def cover(self, view: QWidget | None, problem: BaseException) -> None:
        """Cover a view; one fault is told and reported once, however often it is drawn."""
        place = _place_of(problem)
        if view in self._covers or (view is None and place in self._told):
            return
        sentence = self._sentence(problem)
        if view is None:
            self._told.add(place)
            self._window.bar.say(sentence)
            return
        self._covers[view] = None
        # Qt: no widget is made in the middle of a painting (6.11).
        QTimer.singleShot(0, lambda: self._lay(view, sentence))

    @contextmanager
    def guarding(self, view: QWidget) -> Iterator[None]:
        """What fails inside covers this view and nothing else: others are still told what changed."""
        try:
            yield
        except Exception as problem:
            self.cover(view, problem)

    def draw_again(self) -> None:
        """Take every cover away and draw what lay beneath anew."""
        for view in list(self._covers):
            self._uncover(view)

    def let_go(self) -> None:
        """The window closes."""
        for cover in self._covers.values():
            if cover is not None and shiboken6.isValid(cover):
                cover.let_go()
        self._covers.clear()

    def _sentence(self, problem: BaseException) -> str:
        page_id = self._window.page_id
        self._window.session.log.note("fault", f"{page_id}:{type(problem).__name__}")
        return crash.sentence(self._window.settings.folder, problem, page_id=page_id)

    def _start_again(self) -> None:
        again.start_again(self._window)

    def _lay(self, view: QWidget, sentence: str) -> None:
        if view not in self._covers or not shiboken6.isValid(view):
            return
        name = str(getattr(view, "view_name", "") or getattr(view, "page_id", ""))
        cover = Cover(view, text("fault.view", view=text(f"fault.{name}"), sentence=sentence))
        cover.draw_asked.connect(lambda: self._uncover(view))
        self._covers[view] = cover
        if hasattr(view, "page_id") and view.isVisible():
            cover.button.setFocus()

    def _uncover(self, view: QWidget) -> None:
        self._told.clear()
        cover = self._covers.pop(view, None)
        if cover is not None:
            cover.let_go()
        self._window.draw_anew(view)


def _was_drawing(problem: BaseException) -> bool:
    frames = traceback.extract_tb(problem.__traceback__)
    return any(frame.name in _DRAWING for frame in frames)


def _view_of(problem: BaseException) -> QWidget | None:
    """The innermost view among the calls."""
    found, here = None, problem.__traceback__
    while here is not None:
        one = here.tb_frame.f_locals.get("self")
        if isinstance(one, QObject) and not isinstance(one, QWidget) and shiboken6.isValid(one):
            one = one.parent()
        if isinstance(one, QWidget) and shiboken6.isValid(one):
            found = one
        here = here.tb_next
    while found is not None and not found.isWindow():
        if hasattr(found, "view_name") or hasattr(found, "page_id"):
            return found
        found = found.parentWidget()
    return None


def _place_of(problem: BaseException) -> tuple[str, str, int]:
    last = traceback.extract_tb(problem.__traceback__)[-1:]
    return type(problem).__name__, *((last[0].filename, last[0].lineno or 0) if last else ("", 0))


def hook(window: MainWindow, problem: BaseException) -> None:
    """What Python does with an exception that nobody caught, while the window stands."""
    try:
        window.faults.report(problem)
    except Exception:
        sys.__excepthook__(type(problem), problem, problem.__traceback__)
