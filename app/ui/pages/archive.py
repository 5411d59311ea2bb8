"""The archive: a question at the left, what was found at the right; Enter opens a record."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QVBoxLayout, QWidget

from app.ui.archive.form import AskedForm
from app.ui.archive.tucked import Tucked
from app.ui.models.filed import HitsModel
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.shell.scroll import Scroll
from app.ui.shell.session import sentence_of
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.archive.looking_through import LookedThrough
    from app.jobstore.archive import Asked, Hit, Page
    from app.report.plain_tables import PlainTable
    from app.ui.window import MainWindow

_WIDTHS: Final = {"number": 140, "tested": 115, "site": 140, "cores": 210, "worst": 130, "findings": 260}
_NARROW: Final = 1000
_FORM_WIDE: Final = 372


class ArchivePage(QWidget):
    """Search and saved searches. The archive is asked behind the window; what it says stands on the page."""

    page_id = "archive"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.asked: Asked | None = None
        self._next_before: int | None = None
        self._form_shown = True
        self.form = AskedForm()
        self.form.finished.connect(self.search)
        self.model = HitsModel(self)
        self.table = RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("archive.found_table"))
        self.table.chosen.connect(lambda _row: self.open_record())
        self.place, self.count = Line(role="second"), Line(role="second")
        self.trouble = Words(role="value", bold=True)
        self.foot = Foot(
            "archive.button",
            (
                ("others", "Alt+Z", lambda: None),
                ("clear", "Alt+N", self.clear),
                ("save", "Alt+S", self.save_search),
                ("saved", "Alt+V", self.show_saved),
                ("bulk", "Alt+E", self.export),
                ("print", "Alt+P", lambda: self._window.deeds.do("print_list")),
                ("check", "Alt+K", self.check_everything),
                ("more", "Alt+M", self.more),
                ("search", "Alt+F", self.search),
                ("open", "Enter", self.open_record),
            ),
        )
        self._tucked = Tucked(self.foot, ("clear", "save", "bulk", "print", "check"))
        self._lay_out()
        self._tell()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def first_focus(self) -> None:
        """What was found, else the question."""
        self.place.set_text(self._place_words())
        if self.model.rowCount():
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        self._show_form(True)
        self.form.by_name["words_text"].line.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Question, what was found, buttons."""
        first = self.form.by_name["words_text"].line
        return [
            Part(self.form, first.setFocus),
            Part(self.table, self.table.setFocus),
            Part(self.foot, self.foot.buttons["search"].setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    # Asking

    def search(self) -> None:
        """Ask what the form says. On a narrow screen a second time brings the form back."""
        if self._is_narrow() and not self._form_shown:
            self._show_form(True)
            self.form.by_name["words_text"].line.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        asked = self.form.asked()
        if asked is not None:
            self.run(asked)

    def run(self, asked: Asked) -> None:
        """Ask the archive; what was found before stays until the answer comes."""
        self.asked = asked
        self._say("")
        self.count.set_text(text("archive.searching"))
        self._window.archive.ask(
            "search", lambda archive: archive.search(asked), done=self._put, failed=self._refuse
        )

    def more(self) -> None:
        """The next page behind what is shown."""
        asked, before = self.asked, self._next_before
        if asked is None or before is None:
            return
        self.foot.buttons["more"].set_reason(text("archive.searching"))
        self._window.archive.ask(
            "search",
            lambda archive: archive.search(asked, before=before),
            done=self._add,
            failed=self._refuse,
        )

    def clear(self) -> None:
        """An empty question."""
        self.form.clear()
        self._show_form(True)
        self.form.by_name["words_text"].line.setFocus(Qt.FocusReason.OtherFocusReason)

    # Acts

    def hit_in_hand(self) -> Hit | None:
        """The record of the row in hand."""
        return self.model.line(self.table.currentIndex().row())

    def open_record(self) -> None:
        """Open the record in hand for reading."""
        hit = self.hit_in_hand()
        if hit is not None:
            page = self._window.page("filed")
            page.show_record(hit.filed.record_digest, hit.filed.number_text)
            self._window.show_page("filed")

    def save_search(self) -> None:
        """Keep the question under a name."""
        from app.ui.dialogs.searches import SaveSearchDialog

        asked = self.form.asked()
        if asked is not None:
            SaveSearchDialog(self._window, asked).open()

    def show_saved(self) -> None:
        """The questions that are kept."""
        from app.ui.dialogs.searches import open_searches

        open_searches(self._window, self._take_saved, failed=self._refuse)

    def export(self) -> None:
        """Write everything that fits the question into a folder."""
        from app.ui.dialogs.bulk import BulkDialog

        asked = self.form.asked()
        if asked is not None:
            BulkDialog(self._window, asked).open()

    def check_everything(self) -> None:
        """Check every record, receipt and place once more, behind the window."""
        place_text, trust = self._window.archive.place_text, self._window.settings.folder / "trust"
        if not place_text:
            self._say(text("archive.no_place"))
            return
        self._say("")
        self._allow_check(text("looked_through.running"))

        def make() -> LookedThrough:
            from app.desk.archive.looking_through import look_through_at

            return look_through_at(place_text, trust)

        self._window.works.behind("look_through", make, done=self._checked, failed=self._not_checked)

    def _checked(self, found: LookedThrough) -> None:
        from app.ui.dialogs.looked_through import LookedThroughDialog

        self._allow_check("")
        LookedThroughDialog(self._window, found).open()

    def _not_checked(self, problem: BaseException) -> None:
        self._allow_check("")
        sentence = sentence_of(problem)
        if sentence is None:
            self._window.deeds.report(problem)
        self._say(sentence or text("archive.failed"))

    def _allow_check(self, reason: str) -> None:
        self.foot.buttons["check"].set_reason(reason)

    def printed(self) -> list[PlainTable]:
        """What was found; on a narrow screen the question may stand before it."""
        from app.ui.shell.paper import table_of

        return [table_of(self.table)]

    def printed_said(self) -> str:
        """What was asked, for the paper."""
        return ". ".join(part for part in (self.place.text, self.count.text) if part)

    def _take_saved(self, asked: Asked) -> None:
        self.form.put(asked)
        self.run(asked)

    # What comes

    def _put(self, page: Page) -> None:
        self._next_before = page.next_before
        self.model.show_lines(page.hits)
        if page.hits:
            self.table.setCurrentIndex(self.model.index(0, 0))
            self._show_form(not self._is_narrow())
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)
        self._tell()

    def _add(self, page: Page) -> None:
        self._next_before = page.next_before
        first = self.model.rowCount()
        self.model.add_lines(page.hits)
        if page.hits:
            self.table.setCurrentIndex(self.model.index(first, 0))
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)
        self._tell()

    def _refuse(self, sentence: str) -> None:
        self._tell()
        self._say(sentence)

    def _say(self, sentence: str) -> None:
        self.trouble.setText(sentence)
        self.trouble.setVisible(bool(sentence))

    def _tell(self) -> None:
        shown = self.model.rowCount()
        if self.asked is None:
            self.count.set_text("")
        elif not shown:
            self.count.set_text(text("archive.none"))
        else:
            told = "archive.shown_more" if self._next_before is not None else "archive.shown_all"
            self.count.set_text(text(told, count=shown))
        self.foot.buttons["more"].set_reason("" if self._next_before is not None else text("archive.no_more"))
        self.foot.buttons["open"].set_reason("" if shown else text("archive.nothing"))

    def _place_words(self) -> str:
        from app.jobstore.archive import ArchiveProblem
        from app.jobstore.archive.engine import named, url_of

        place_text = self._window.archive.place_text
        try:
            return retold(named(url_of(place_text))) if place_text else ""
        except ArchiveProblem:
            return place_text

    # Laying out

    def _is_narrow(self) -> bool:
        return self.width() < _NARROW

    def _show_form(self, shown: bool) -> None:
        self._form_shown = shown
        narrow = self._is_narrow()
        self._scroll.setVisible(shown)
        self._right.setVisible(not (narrow and shown))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen question and answer stand one after the other, and some columns give way."""
        super().resizeEvent(event)
        narrow = self._is_narrow()
        if narrow:
            self._scroll.setMaximumWidth(16777215)
        else:
            self._scroll.setFixedWidth(_FORM_WIDE)
        self._show_form(self._form_shown or not narrow)
        for name in ("site", "findings"):
            self.table.setColumnHidden(self.model.columns.index(name), narrow)
        self._tucked.arrange(narrow)

    def _lay_out(self) -> None:
        head = Panel("sheet", rules="bottom")
        upper = QVBoxLayout(head)
        upper.setContentsMargins(16, 10, 16, 8)
        row = QHBoxLayout()
        upper.addLayout(row)
        upper.addWidget(self.trouble)
        row.addWidget(Line(text("archive.heading"), role="heading", bold=True), 1)
        row.addWidget(self.place, 2)
        row.addWidget(self.count, 2)
        self._scroll = Scroll(self.form)
        self._right = Panel("sheet", rules="left")
        right = QVBoxLayout(self._right)
        right.setContentsMargins(1, 0, 0, 0)
        right.setSpacing(0)
        self.trouble.hide()
        right.addWidget(self.table, 1)
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self._scroll)
        middle.addWidget(self._right, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addLayout(middle, 1)
        column.addWidget(self.foot)
        for place, name in enumerate(self.model.columns):
            self.table.setColumnWidth(place, _WIDTHS[name])
        head_of = self.table.horizontalHeader()
        head_of.setSectionResizeMode(self.model.columns.index("findings"), QHeaderView.ResizeMode.Stretch)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape on a narrow screen goes from what was found back to the question first."""
        if event.key() == Qt.Key.Key_Escape and self._is_narrow() and not self._form_shown:
            self._show_form(True)
            self.form.by_name["words_text"].line.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            super().keyPressEvent(event)
