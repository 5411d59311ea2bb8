"""The job at a glance: a box per core and test, what comes next, what is missing, and the box in hand."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeySequence, QPainter, QPaintEvent, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.desk import Change
from app.desk.board import EXCEPTIONS, ORDER, Board, Box, board, finding_of, missing, name_of, next_steps
from app.ui import marks, theme
from app.ui.marks import MarkLabel
from app.ui.shell.board_table import BoardTable
from app.ui.shell.key_button import PlainButton, VerbButton
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.texts import text
from app.words import retold, verdict_word
from ctcore.findings import Verdict

if TYPE_CHECKING:
    from app.ui.window import MainWindow

_LOW: Final = 480
_NARROW: Final = 900


class CountButton(PlainButton):
    """How many boxes have a verdict; pressed, it leaves only their rows on the board."""

    def __init__(self, verdict: Verdict) -> None:
        super().__init__(verdict)
        self.verdict: Verdict = verdict
        self.count = 0
        self.is_only = False

    def show_count(self, count: int, *, is_only: bool) -> None:
        """Show another number; a pressed one has tint and bar."""
        self.count, self.is_only = count, is_only
        self.setAccessibleName(text("board.count", count=count, verdict=verdict_word(self.verdict)))
        self.setEnabled(bool(count) or is_only)
        self.updateGeometry()
        self.update()

    def _font_of_word(self):  # type: ignore[no-untyped-def]
        return theme.font("second", bold=marks.is_bold(self.verdict))

    def sizeHint(self) -> QSize:
        """As wide as number, mark and word."""
        number = QFontMetrics(theme.font("value", bold=True)).horizontalAdvance(str(self.count))
        word = QFontMetrics(self._font_of_word()).horizontalAdvance(verdict_word(self.verdict))
        return QSize(number + word + 62, 44)

    def minimumSizeHint(self) -> QSize:
        """Number and mark at least."""
        return QSize(78, 36)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Frame, number, mark, word."""
        self.setText("")
        super().paintEvent(event)
        painter = QPainter(self)
        if self.is_only:
            painter.fillRect(QRect(0, 0, 8, self.height()), theme.color("here"))
        painter.setPen(theme.color("ink"))
        font = theme.font("value", bold=True)
        painter.setFont(font)
        wide = QFontMetrics(font).horizontalAdvance(str(self.count))
        painter.drawText(QRect(12, 0, wide + 2, self.height()), _MIDDLE, str(self.count))
        ground = theme.color("here_tint" if self.hasFocus() or self.isDown() else "sheet")
        marks.paint(painter, self.verdict, QPointF(wide + 34, self.height() / 2), 12, ground=ground)
        painter.setPen(theme.color("ink"))
        painter.setFont(self._font_of_word())
        room = QRectF(wide + 54, 0, self.width() - wide - 58, self.height())
        metrics = QFontMetrics(self._font_of_word())
        shown = metrics.elidedText(verdict_word(self.verdict), Qt.TextElideMode.ElideRight, int(room.width()))
        painter.drawText(room, _MIDDLE, shown)


_MIDDLE: Final = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)


class Counts(QWidget):
    """The numbers of boxes by verdict; left and right go from one to the next, Enter chooses."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = Line(role="second", bold=True)
        self.buttons = {verdict: CountButton(verdict) for verdict in ORDER}
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 6, 8, 6)
        column.setSpacing(4)
        column.addWidget(self.heading)
        row = QHBoxLayout()
        row.setSpacing(4)
        for verdict, button in self.buttons.items():
            button.clicked.connect(lambda _checked=False, verdict=verdict: self.chosen.emit(verdict))
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)

    def show_counts(self, whole: Board, only: Verdict | None) -> None:
        """Fill the buttons."""
        counts = whole.counts()
        total = sum(counts.values())
        self.heading.set_text(
            text("board.all", count=total) if only is None else text("board.only", verdict=verdict_word(only))
        )
        for verdict, button in self.buttons.items():
            button.show_count(counts[verdict], is_only=verdict == only)

    def focus_first(self) -> None:
        """The first number that can be chosen."""
        next(
            (button for button in self.buttons.values() if button.isEnabled()), self.buttons["within"]
        ).setFocus()


class BoardPage(QWidget):
    """The board, its numbers beneath, and the box in hand read back."""

    page_id = "board"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self._only: Verdict | None = None
        self._whole = Board((), 1, ())
        self._dirty = True
        self.table = BoardTable()
        self.counts = Counts()
        self.next, self.missing = Words(role="second"), Words(role="second")
        self.mark = MarkLabel("not tested")
        self.name, self.sentence = Line(role="heading", bold=True), Words(role="finding")
        self.sentence.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Maximum)
        self._found: Box | None = None
        self._lay_out()
        self.table.asked.connect(self._open)
        self.table.moved.connect(self._read_back)
        self.table.typed.connect(lambda letters: window.deeds.find_letters(letters))
        self.table.head.faces.asked.connect(lambda face: window.deeds.do(face))
        self.counts.chosen.connect(self._filter)

    def show_change(self, change: Change) -> None:
        """Draw the board again; one that is not looked at waits until it is."""
        self._dirty = True
        if self.isVisible():
            self._draw()
        if change.outline_changed:
            self._only = None

    def first_focus(self) -> None:
        """The box of the worksheet, or the first."""
        if self._dirty:
            self._draw()
        if self.table.box() is None and not self.table.go_to(*self._window.place):
            self.table.go_to_first()
        self.table.setFocus()

    def parts(self) -> list[Part]:
        """Boxes, numbers, buttons."""
        return [
            Part(self.table, self.table.setFocus),
            Part(self.counts, self.counts.focus_first),
            Part(self._foot, self.open.setFocus),
        ]

    def show_sets(self) -> None:
        """The other face: the sets beside the worksheet."""
        self._window.deeds.worksheet()
        self._window.front.show_sets()

    def go_to_worksheet_box(self) -> None:
        """Put the box of the worksheet in hand."""
        if self._dirty:
            self._draw()
        self.table.go_to(*self._window.place)

    # Drawing

    def _draw(self) -> None:
        view = self._window.session.view
        if view is None:
            return
        self._dirty = False
        before = self.table.box()
        self._whole = board(view)
        if self._only is not None and not self._whole.counts()[self._only]:
            self._only = None
        shown = self._whole.only(self._only)
        self.table.head.phase_names = _phase_names(view.job.phase_names, shown.widest)
        self.table.boards.put(shown, view, here=self._window.place)
        if before is None or not self.table.go_to(before.core_id, before.procedure_id):
            self.table.go_to_first()
        self.counts.show_counts(self._whole, self._only)
        self.next.setText("\n".join(words for _, words in next_steps(self._whole)) or text("board.no_next"))
        today = datetime.now().astimezone().date()
        self.missing.setText("\n".join(missing(view, self._whole, today)) or text("board.nothing_missing"))
        self.table.viewport().update()
        self._read_back()

    def _read_back(self) -> None:
        box, view = self.table.box(), self._window.session.view
        self.mark.setVisible(box is not None)
        self.open.setEnabled(box is not None)
        if box is None or view is None:
            self.name.set_text(text("board.empty"))
            self.sentence.setText("")
            return
        self.mark.set_mark(self.table.mark_of(box), verdict_word(box.verdict))
        self.name.set_text(name_of(box))
        if box.stale:
            self._say(text("board.stale", verdict=verdict_word(box.verdict)))
        else:
            finding = finding_of(view, box)
            self._say(retold(finding.text) if finding is not None else text("board.no_readings"))
        word = verdict_word(box.verdict)
        self.table.setAccessibleDescription(f"{self.name.text}: {word}. {self.sentence.toolTip()}")

    def _say(self, words: str) -> None:
        """Two lines of the sentence; all of it as a tool tip and for a screen reader."""
        room = int(1.9 * max(self.sentence.width(), 200))
        metrics = QFontMetrics(theme.font("finding"))
        self.sentence.setText(metrics.elidedText(words, Qt.TextElideMode.ElideRight, room))
        self.sentence.setToolTip(words)

    # Acts

    def _filter(self, verdict: Verdict) -> None:
        self._only = None if self._only == verdict else verdict
        self._draw()
        self.table.setFocus()

    def _open(self, box: Box) -> None:
        self._window.go_to(box.core_id, box.procedure_id)

    def _open_in_hand(self) -> None:
        box = self.table.box()
        if box is not None:
            self._open(box)

    def _show_missing(self) -> None:
        from app.ui.dialogs.missing import open_missing_dialog

        open_missing_dialog(self._window)

    def _next_finding(self) -> None:
        """The worst exception, then the next one, round and round."""
        boxes = [
            box for verdict in EXCEPTIONS for box in self.table.boards.board.boxes() if box.verdict == verdict
        ]
        if not boxes:
            self._window.bar.say(text("board.no_exception"))
            return
        here = self.table.box()
        place = boxes.index(here) + 1 if here == self._found and here in boxes else 0
        box = self._found = boxes[place % len(boxes)]
        self.table.go_to(box.core_id, box.procedure_id)
        self.table.setFocus()

    # Parts

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addWidget(self._make_panels())
        column.addWidget(self._make_foot())

    def _make_panels(self) -> QWidget:
        self._panels = Panel("ground", rules="top", weight=2)
        row = self._panels_row = QHBoxLayout(self._panels)
        row.setContentsMargins(8, 8, 8, 8)
        row.setSpacing(8)
        numbers = Panel("sheet")
        inner = QHBoxLayout(numbers)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(self.counts)
        row.addWidget(numbers, 46)
        self._beside = [self._panel("board.next", self.next), self._panel("board.missing", self.missing)]
        for panel, share in zip(self._beside, (30, 24), strict=True):
            row.addWidget(panel, share)
        return self._panels

    def _panel(self, heading_id: str, words: Words) -> Panel:
        panel = Panel("sheet")
        inner = QVBoxLayout(panel)
        inner.setContentsMargins(12, 6, 8, 6)
        inner.setSpacing(2)
        inner.addWidget(Line(text(heading_id), role="second", bold=True))
        words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        inner.addWidget(words)
        inner.addStretch(1)
        return panel

    def _make_foot(self) -> QWidget:
        self._foot = Panel("sheet", rules="top", weight=2)
        row = QHBoxLayout(self._foot)
        row.setContentsMargins(12, 4, 4, 2)
        row.setSpacing(8)
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addStretch(1)
        words.addWidget(self.name)
        words.addWidget(self.sentence)
        words.addStretch(1)
        self.following = VerbButton(text("board.next_finding"), "Ctrl+G")
        self.following.answer_key()
        self.following.clicked.connect(self._next_finding)
        self.all_missing = VerbButton(text("board.all_missing"), "Ctrl+M")
        # The key works on a small screen too, where the button gives way.
        QShortcut(QKeySequence("Ctrl+M"), self).activated.connect(self._show_missing)
        self.all_missing.clicked.connect(self._show_missing)
        self.open = VerbButton(text("board.open"), "Enter", main=True)
        self.open.clicked.connect(self._open_in_hand)
        self.open.setMinimumWidth(236)
        row.addWidget(self.mark)
        row.addLayout(words, 1)
        row.addWidget(self.all_missing)
        row.addWidget(self.following)
        row.addWidget(self.open)
        self._size()
        theme.current().changed.connect(self._size)
        return self._foot

    def _size(self) -> None:
        self._foot.setFixedHeight(theme.density().main_button + 6)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a small screen the boxes come first: panels fold to the numbers alone."""
        super().resizeEvent(event)
        low, narrow = self.height() < _LOW, self.width() < _NARROW
        for panel in self._beside:
            panel.setVisible(not low and not narrow)
        self.counts.heading.setVisible(not low)
        self._panels_row.setContentsMargins(*((0, 0, 0, 0) if low else (8, 8, 8, 8)))
        self.open.setMinimumWidth(150 if narrow else 236)
        self.following.setVisible(not narrow)
        self.all_missing.setVisible(not narrow)


def _phase_names(names: tuple[str, ...], widest: int) -> tuple[str, ...]:
    return names if len(names) >= widest else (*names, *[""] * (widest - len(names)))
