"""The page that shows a sheet: contents beside it, the paper in the middle, find and print around it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStyledItemDelegate, QStyleOptionViewItem, QVBoxLayout, QWidget

from app.report.page_pictures import Entry, Hit
from app.ui import theme
from app.ui.preview.back import PagesBehind
from app.ui.preview.paper import FIT_PAGE, FIT_WIDTH, Paper
from app.ui.preview.search import FindLine, PageLine
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Line, Panel
from app.ui.shell.lines_view import LINE_ROLE, Index, LinesModel, LinesView, paint_ground, width_of
from app.ui.shell.part import Part
from app.ui.shell.session import sentence_of
from app.ui.shell.tab_button import TabButton
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.printing import SheetPdf
    from app.progress import Work
    from app.ui.window import MainWindow

_CONTENTS_WIDE: Final = 300
_NARROW: Final = 900
# The newest revisions that have a tab; all of them can be written as files.
_MOST_TABS: Final = 4


class PreviewPage(QWidget):
    """Shows the bytes of a sheet: a draft as it would be written now, a signed one as it was signed."""

    page_id = "preview"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.came_from = "jobs"
        self.job_id = ""
        self.revision: int | None = None
        self.sheet: SheetPdf | None = None
        self.hits: tuple[Hit, ...] = ()
        self.hit_in_hand = -1
        self._making: Work | None = None
        self.behind = PagesBehind(self)
        self.paper = Paper(self.behind)
        self.heading, self.count = Line(role="heading", bold=True), Line(role="second")
        self.find_line, self.page_line = FindLine(), PageLine()
        self.contents = LinesView()
        self.contents.setModel(ContentsModel(self.contents))
        self.contents.setItemDelegate(_EntryDelegate(self.contents))
        self.contents.setAccessibleName(text("preview.contents"))
        self.buttons: dict[str, VerbButton] = {}
        self.tabs = Panel("sheet")
        self._tabs_row = QHBoxLayout(self.tabs)
        self._lay_out()
        self._connect()

    # What is shown

    def show_sheet(self, job_id: str, revision: int | None = None) -> None:
        """The sheet of a job: of that revision, else as it stands now."""
        same = (job_id, revision) == (self.job_id, self.revision)
        self.job_id, self.revision = job_id, revision
        if not same:
            self.sheet = None
            self.paper.page = 0
            self.heading.set_text(text("preview.heading"))
        self.look()

    def show_filed(self, sheet: SheetPdf) -> None:
        """A signed sheet out of the archive: its bytes are here already."""
        self.job_id, self.revision, self.sheet = sheet.job_id, sheet.revision, None
        self.paper.page = 0
        self._take(sheet)

    def look(self) -> None:
        """Ask for the bytes, as they are now."""
        job_id, revision = self.job_id, self.revision
        if self.sheet is None:
            self._wait(text("preview.making"))
        if self._making is not None:
            self._making.stop()
        self._window.session.fetch(
            lambda desk: desk.sheet_maker(job_id, revision=revision), done=self._make, refused=self._wait
        )

    def _make(self, maker: Callable[[], SheetPdf]) -> None:
        """Draw it beside the writer; what was being made before is out of date."""

        def failed(problem: BaseException) -> None:
            if self._making is work:
                self._fail(problem)

        work = self._making = self._window.works.behind("sheet", maker, done=self._take, failed=failed)

    def show_change(self, change: Change) -> None:
        """Something was done to the job: the sheet as it stands now is asked for again."""
        ours = change.view.job.job_id == self.job_id and self.revision is None
        if self._window.front is self and ours:
            self.look()

    def first_focus(self) -> None:
        """Keys turn the paper."""
        self.paper.setFocus()

    def parts(self) -> list[Part]:
        """Paper, find, page number, contents, buttons."""
        areas = (self.paper, self.find_line, self.page_line, self.contents, self.buttons["print"])
        return [Part(area, area.setFocus) for area in areas]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def print_sheet(self) -> None:
        """Ask how it is to be printed."""
        if self.sheet is not None and self.behind.file is not None:
            from app.ui.preview.print_dialog import open_print_dialog

            open_print_dialog(self._window, self.sheet, self.behind)

    def go_to_find(self) -> None:
        """F3: the field that looks for words."""
        self.find_line.setFocus()
        self.find_line.selectAll()

    def let_go(self) -> None:
        """The window closes: the thread ends."""
        self.behind.close()

    def _take(self, sheet: SheetPdf) -> None:
        if sheet.job_id != self.job_id:
            return
        if self.sheet is not None and sheet.data == self.sheet.data:
            return
        self.sheet = sheet
        number = " ".join(part for part in (sheet.number_text, sheet.title_text) if part)
        standing = text(f"preview.{sheet.standing}", revision=sheet.revision)
        self.heading.set_text(f"{standing} · {number}")
        self._show_tabs(sheet)
        self.behind.open(sheet.data)

    def _opened(self) -> None:
        self._wait("")
        entries = self.behind.entries
        model = self.contents.model()
        assert isinstance(model, ContentsModel)
        model.put(entries if len(entries) > 1 else ())
        self._arrange()
        self.paper.show_page(self.paper.page)
        self._tell_page()
        self._look_for(self.find_line.text())

    def _wait(self, sentence: str) -> None:
        self.paper.waiting_text = sentence
        if sentence:
            self.paper.setAccessibleName(sentence)
        for name in ("print", "save"):
            self.buttons[name].set_reason(text("preview.not_yet") if sentence else "")
        self.paper.viewport().update()

    def _fail(self, problem: BaseException) -> None:
        sentence = sentence_of(problem)
        if sentence is None:
            self._window.deeds.report(problem)
        self._wait(sentence or text("preview.failed"))

    def _broke(self, _problem: object) -> None:
        """A fault while the sheet was made is told by the bar; nobody waits for the sheet any longer."""
        if self.paper.waiting_text == text("preview.making"):
            self._wait(text("preview.failed"))

    def _show_tabs(self, sheet: SheetPdf) -> None:
        while (item := self._tabs_row.takeAt(0)) is not None:
            if (old := item.widget()) is not None:
                old.hide()
                old.deleteLater()
        offered: list[tuple[str, int | None]] = []
        if sheet.open_for_draft:
            offered.append((text("preview.tab_draft"), None))
        newest = sorted(sheet.revisions, reverse=True)[:_MOST_TABS]
        offered += [(text("preview.tab_revision", revision=one), one) for one in newest]
        for words, revision in offered:
            shown = revision is None if sheet.standing == "draft" else revision == sheet.revision
            tab = TabButton(words, is_open=shown)
            tab.clicked.connect(lambda _checked=False, one=revision: self.show_sheet(self.job_id, one))
            self._tabs_row.addWidget(tab)
        self._tabs_row.addStretch(1)
        self.tabs.setVisible(len(offered) > 1)

    # Finding

    def _look_for(self, words: str) -> None:
        if words.strip():
            self.behind.find(words)
        else:
            self._found(())

    def _found(self, hits: tuple[Hit, ...]) -> None:
        self.hits = hits
        here = next((n for n, hit in enumerate(hits) if hit.page >= self.paper.page), 0)
        self.hit_in_hand = here if hits else -1
        self._show_hit()

    def step_hit(self, step: int) -> None:
        """The next place where the words stand, or the one before; after the last comes the first."""
        if self.hits:
            self.hit_in_hand = (self.hit_in_hand + step) % len(self.hits)
            self._show_hit()

    def _show_hit(self) -> None:
        self.paper.show_hits(self.hits, self.hit_in_hand)
        if not self.find_line.text().strip():
            self.count.set_text("")
        elif self.hits:
            self.count.set_text(text("preview.hit", hit=self.hit_in_hand + 1, all=len(self.hits)))
        else:
            self.count.set_text(text("preview.no_hit"))
        self.find_line.setAccessibleDescription(self.count.text)

    # Going about

    def _tell_page(self) -> None:
        self.page_line.show_page(self.paper.page + 1, self.behind.page_count)
        entries = self.behind.entries
        before = [row for row, entry in enumerate(entries) if entry.page <= self.paper.page]
        if before and not self.contents.hasFocus():
            self.contents.take(before[-1])

    def _go_to_page(self, page: int) -> None:
        self.paper.show_page(page - 1)
        self.paper.setFocus()

    def _go_to_entry(self, row: int) -> None:
        entries = self.behind.entries
        if 0 <= row < len(entries):
            self.paper.show_page(entries[row].page)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Letters that fit and enlarge, wherever no text is typed."""
        plain = not event.modifiers() & (
            Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        )
        acts = {
            "w": lambda: self.paper.show_fitted(FIT_WIDTH),
            "a": lambda: self.paper.show_fitted(FIT_PAGE),
            "+": lambda: self.paper.enlarge(+1),
            "-": lambda: self.paper.enlarge(-1),
            "0": lambda: self.paper.show_percent(100.0),
            "g": self._ask_page,
            "/": self.go_to_find,
        }
        act = acts.get(event.text().lower()) if plain else None
        if act is not None:
            act()
        elif event.key() == Qt.Key.Key_F and event.modifiers() == Qt.KeyboardModifier.ControlModifier:
            self.go_to_find()
        else:
            super().keyPressEvent(event)

    def _ask_page(self) -> None:
        self.page_line.setFocus()
        self.page_line.selectAll()

    # Laying out

    def _connect(self) -> None:
        self.behind.opened.connect(self._opened)
        self.behind.found.connect(self._found)
        self.behind.failed.connect(self._fail)
        self._window.session.broke.connect(self._broke)
        self.paper.turned.connect(lambda _page: self._tell_page())
        self.find_line.textChanged.connect(self._look_for)
        self.find_line.stepped.connect(self.step_hit)
        self.find_line.left_for_paper.connect(self.paper.setFocus)
        self.page_line.page_asked.connect(self._go_to_page)
        self.page_line.left_for_paper.connect(self.paper.setFocus)
        self.contents.in_hand.connect(
            lambda row: self._go_to_entry(row) if self.contents.hasFocus() else None
        )
        self.contents.chosen.connect(lambda _row: self.paper.setFocus())

    def _lay_out(self) -> None:
        head = Panel("sheet", rules="bottom")
        row = QHBoxLayout(head)
        row.setContentsMargins(16, 6, 16, 6)
        row.setSpacing(10)
        row.addWidget(self.heading, 5)
        row.addWidget(self.count, 1)
        row.addWidget(self.find_line, 2)
        row.addWidget(self.page_line)
        self._tabs_row.setContentsMargins(0, 0, 0, 0)
        self._tabs_row.setSpacing(0)
        self.tabs.hide()
        self._side = Panel("sheet", rules="right")
        side = QVBoxLayout(self._side)
        side.setContentsMargins(0, 0, 1, 0)
        side.addWidget(self.contents)
        self._side.setFixedWidth(_CONTENTS_WIDE)
        middle = QHBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        middle.addWidget(self._side)
        middle.addWidget(self.paper, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self.tabs)
        column.addLayout(middle, 1)
        column.addWidget(self._foot())

    def _foot(self) -> QWidget:
        foot = Panel("sheet", rules="top", weight=2)
        foot.setFixedHeight(theme.density().main_button + 6)
        row = QHBoxLayout(foot)
        row.setContentsMargins(12, 4, 4, 2)
        row.setSpacing(8)
        for name, key, act in (
            ("whole", "A", lambda: self.paper.show_fitted(FIT_PAGE)),
            ("width", "W", lambda: self.paper.show_fitted(FIT_WIDTH)),
            ("smaller", "−", lambda: self.paper.enlarge(-1)),
            ("larger", "+", lambda: self.paper.enlarge(+1)),
        ):
            row.addWidget(self._button(name, key, act))
        row.addStretch(1)
        row.addWidget(self._button("save", "Ctrl+Shift+S", lambda: self._window.deeds.do("sheet")))
        row.addWidget(self._button("print", "Ctrl+P", self.print_sheet, main=True))
        self.buttons["print"].setMinimumWidth(200)
        return foot

    def _button(self, name: str, key: str, act: object, *, main: bool = False) -> VerbButton:
        button = VerbButton(text(f"preview.{name}_button"), key, main=main)
        button.clicked.connect(act)
        self.buttons[name] = button
        return button

    def _arrange(self) -> None:
        model = self.contents.model()
        self._side.setVisible(self.width() >= _NARROW and model is not None and model.rowCount() > 1)
        self.buttons["smaller"].setVisible(self.width() >= _NARROW)
        self.buttons["larger"].setVisible(self.width() >= _NARROW)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen contents and the buttons of size give way; their keys go on working."""
        super().resizeEvent(event)
        self._arrange()


class ContentsModel(LinesModel):
    """Lines of the list of contents."""

    def words(self, line: Entry) -> str:
        """Title and page."""
        return text("preview.entry", title=line.title, page=line.page + 1)


class _EntryDelegate(QStyledItemDelegate):
    """A title, indented by its level, and its page at the right."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Two pieces of text."""
        entry: Entry = index.data(LINE_ROLE)
        painter.save()
        room = paint_ground(painter, option, index).adjusted(14 * entry.level, 0, 0, 0)
        painter.setPen(theme.color("ink"))
        painter.setFont(theme.font("value"))
        painter.drawText(
            room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, str(entry.page + 1)
        )
        painter.drawText(
            room.adjusted(0, 0, -36, 0), Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap, entry.title
        )
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As tall as its title wants."""
        entry: Entry = index.data(LINE_ROLE)
        wide = width_of(option) - 28 - 36 - 14 * entry.level
        metrics = QFontMetrics(theme.font("value"))
        box = metrics.boundingRect(0, 0, wide, 400, Qt.TextFlag.TextWordWrap, entry.title)
        return QSize(width_of(option), max(44, box.height() + 18))
