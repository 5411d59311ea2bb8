"""A record of the archive, open for reading: how it stands, how long it is kept, its cores and results."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QVBoxLayout, QWidget

from app.ui.archive.tucked import Tucked
from app.ui.models.filed import CoresModel, ResultsModel
from app.ui.pages.check import OutcomeLabel
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.shell.scroll import Scroll
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Change
    from app.desk.archive.opened import Opened, Standing
    from app.jobstore.archive import Archive
    from app.ui.dialogs.keeping import KeepingDialog
    from app.ui.window import MainWindow

_CORE_WIDTHS: Final = {"place": 150, "core": 56, "serial": 96, "class": 130, "worst": 124}
_RESULT_WIDTHS: Final = {"test": 106, "row": 166, "quantity": 200, "value": 176, "verdict": 140}
_NARROW: Final = 1000


class FiledPage(QWidget):
    """Facts on top, cores at the left, the results of the core in hand at the right."""

    page_id = "filed"
    came_from = "archive"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.digest = ""
        self.opened: Opened | None = None
        self.heading, self.facts = Line(role="heading", bold=True), Words(role="value")
        self.outcome = OutcomeLabel()
        self.standing, self.keeping = Words(role="value"), Words(role="value")
        self.notices = Words(role="value", bold=True)
        self.cores, self.results = CoresModel(self), ResultsModel(self)
        self.core_table, self.result_table = RuledTable(), RuledTable()
        self.core_table.setModel(self.cores)
        self.core_table.setAccessibleName(text("filed.cores"))
        self.core_table.chosen.connect(lambda _row: self.over_years())
        self.core_table.selectionModel().currentRowChanged.connect(lambda *_: self._show_results())
        self.result_table.setModel(self.results)
        self.result_table.setAccessibleName(text("filed.results"))
        self.foot = Foot(
            "filed.button",
            (
                ("others", "Alt+Z", lambda: None),
                ("delete", "Alt+D", lambda: self._keeping("delete_dialog")),
                ("keep", "Alt+K", lambda: self._keeping("keep_dialog")),
                ("end_hold", "Alt+E", lambda: self._keeping("end_hold_dialog")),
                ("hold", "Alt+H", lambda: self._keeping("hold_dialog")),
                ("sheet", "Alt+P", self.show_sheet),
                ("years", "Enter", self.over_years),
            ),
        )
        self._tucked = Tucked(self.foot, ("delete", "keep", "end_hold", "hold"))
        self._lay_out()

    def show_record(self, digest: str, number_text: str) -> None:
        """Fetch a record; how it stands is checked afresh after it is on the screen."""
        self.digest, self.opened = digest, None
        self.heading.set_text(text("filed.fetching", number=number_text))
        for words in (self.facts, self.standing, self.keeping):
            words.setText("")
        self._say("")
        self.outcome.put(None)
        self.cores.show_lines(())
        self.results.show_lines(())
        self._allow()
        self.look()

    def look(self) -> None:
        """Ask for the record as it is now."""
        digest, today = self.digest, self._today()

        def ask(archive: Archive) -> Opened:
            from app.desk.archive.opened import open_record

            return open_record(archive, digest, today=today)

        self._window.archive.ask("record", ask, done=self._put, failed=self._refuse)

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def first_focus(self) -> None:
        """The cores."""
        self.core_table.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Cores, results, buttons."""
        return [
            Part(self.core_table, self.core_table.setFocus),
            Part(self.result_table, self.result_table.setFocus),
            Part(self.foot, self.foot.buttons["sheet"].setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    # Acts

    def show_sheet(self) -> None:
        """The signed sheet, as it was signed."""
        if self.opened is not None and self.opened.sheet is not None:
            page = self._window.page("preview")
            page.came_from = "filed"
            page.show_filed(self.opened.sheet)
            self._window.show_page("preview")

    def over_years(self) -> None:
        """The core in hand over the years, and its curve beside the others."""
        core = self.cores.line(self.core_table.currentIndex().row())
        if self.opened is not None and core is not None:
            page = self._window.page("years")
            page.show_core(self.opened.line, core)
            self._window.show_page("years")

    def _keeping(self, name: str) -> None:
        from app.ui.dialogs import keeping

        if self.opened is not None:
            done = self._gone if name == "delete_dialog" else self.look
            dialog: KeepingDialog = getattr(keeping, name)(self._window, self.opened, done)
            dialog.open()

    def _gone(self) -> None:
        self._window.page("archive").search()
        self._window.show_page("archive")

    # What comes

    def _put(self, opened: Opened) -> None:
        if opened.line.record_digest != self.digest:
            return
        self.opened = opened
        line = opened.line
        self.heading.set_text(
            text("filed.heading", number=line.number_text, revision=line.revision, title=line.title_text)
        )
        self.facts.setText(
            text(
                "filed.facts",
                site=line.site_text or "–",
                tested=line.tested_on,
                tester=line.tested_by_text,
                approver=line.approved_by_text,
                standing=text(f"archive.{line.standing}"),
            )
        )
        self.keeping.setText(keeping_words(opened))
        self._say(
            " ".join(
                text(
                    "filed.swap",
                    serial=one.serial_text,
                    now=one.phase_text,
                    before=one.phase_before_text,
                    number=one.number_before_text,
                    day=one.tested_before_on,
                )
                for one in opened.swaps
            )
        )
        row = self.core_table.currentIndex().row()
        self.cores.show_lines(opened.cores)
        self.core_table.setCurrentIndex(self.cores.index(max(row, 0), 0))
        self._show_results()
        self._allow()
        self._check()

    def _check(self) -> None:
        digest = self.digest
        self.standing.setText(text("filed.checking"))
        desk = self._window.session.desk

        def ask(archive: Archive) -> Standing:
            from app.desk.archive.opened import standing
            from app.record.trust import NOBODY

            return standing(archive, digest, desk.trust() if desk is not None else NOBODY)

        self._window.archive.ask("standing", ask, done=self._put_standing, failed=self.standing.setText)

    def _put_standing(self, found: Standing) -> None:
        self.outcome.put(found.verdict.outcome)
        first = retold(found.verdict.sentences[0]).partition(": ")
        told = first[2] or first[0]
        signers = "; ".join(
            text("filed.signer", meaning=retold(one.meaning), name=one.name_text, day=one.at_utc[:10])
            for one in found.verdict.signers
        )
        lines = (told[:1].upper() + told[1:], signers, retold(found.receipt_text))
        self.standing.setText("\n".join(part for part in lines if part))
        self._fit_head()

    def _refuse(self, sentence: str) -> None:
        self.heading.set_text(text("filed.not_open"))
        self._say(sentence)

    def _say(self, sentence: str) -> None:
        self.notices.setText(retold(sentence))
        self.notices.setVisible(bool(sentence))
        self._fit_head()

    def _show_results(self) -> None:
        core = self.cores.line(self.core_table.currentIndex().row())
        rows = self.opened.rows if self.opened is not None and core is not None else ()
        self.results.show_lines(
            [row for row in rows if core is not None and row.get("core_id") == core.core_id]
        )

    def _allow(self) -> None:
        opened, buttons = self.opened, self.foot.buttons
        waits = "" if opened is not None else text("filed.waits")
        for name, button in buttons.items():
            button.set_reason("" if name == "others" else waits)
        if opened is None:
            return
        locked = "" if opened.rights.may_hold else text("filed.no_right")
        for name in ("hold", "keep", "end_hold"):
            buttons[name].set_reason(locked)
        if not opened.holds and not locked:
            buttons["end_hold"].set_reason(text("filed.no_hold"))
        why = opened.why_not_deleted
        buttons["delete"].set_reason(text(f"filed.why_{why}") if why else "")
        buttons["sheet"].set_reason("" if opened.sheet is not None else text("filed.no_sheet"))

    def _today(self) -> date:
        return datetime.now().astimezone().date()

    # Laying out

    def _lay_out(self) -> None:
        head = Panel("sheet")
        inner = QVBoxLayout(head)
        inner.setContentsMargins(16, 10, 16, 10)
        inner.setSpacing(6)
        inner.addWidget(self.heading)
        inner.addWidget(self.facts)
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addWidget(self.outcome, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.standing, 1)
        inner.addLayout(row)
        inner.addWidget(self.keeping)
        inner.addWidget(self.notices)
        self._left, self._right = Panel("sheet", rules="top right"), Panel("sheet", rules="top")
        for panel, table, model, widths, wide in (
            (self._left, self.core_table, self.cores, _CORE_WIDTHS, "place"),
            (self._right, self.result_table, self.results, _RESULT_WIDTHS, "quantity"),
        ):
            box = QVBoxLayout(panel)
            box.setContentsMargins(0, 1, 1, 0)
            box.addWidget(table)
            for place, name in enumerate(model.columns):
                table.setColumnWidth(place, widths[name])
            table.horizontalHeader().setSectionResizeMode(
                model.columns.index(wide), QHeaderView.ResizeMode.Stretch
            )
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self._left, 35)
        middle.addWidget(self._right, 65)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        # A long answer of the check scrolls where the screen is low, so that the cores stay in sight.
        self._words = inner
        self._head = Scroll(head)
        column.addWidget(self._head)
        column.addLayout(middle, 1)
        column.addWidget(self.foot)

    def _fit_head(self) -> None:
        wanted = self._words.totalHeightForWidth(self.width() - 20)
        self._head.setFixedHeight(min(wanted, max(96, int(0.42 * self.height()))) + 2)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen some columns and the rarer acts give way."""
        super().resizeEvent(event)
        narrow = self.width() < _NARROW
        self._fit_head()
        for name, wide in (("value", 176), ("verdict", 140)):
            self.result_table.setColumnWidth(
                self.results.columns.index(name), wide - 50 * int(narrow and name == "value")
            )
        self.core_table.setColumnHidden(self.cores.columns.index("class"), self.width() < 1500)
        self.core_table.setColumnHidden(self.cores.columns.index("core"), narrow)
        self.core_table.setColumnHidden(self.cores.columns.index("worst"), narrow)
        for name in ("row", "test"):
            self.result_table.setColumnHidden(
                self.results.columns.index(name), narrow or (name == "test" and self.width() < 1300)
            )
        self._tucked.arrange(narrow)


def keeping_words(opened: Opened) -> str:
    """For how long a record is kept, by whose word, and what holds it."""
    kept = opened.kept
    told = text(f"retention.{kept.retention}")
    until = "" if kept.retention == "for_ever" else text("filed.until", day=kept.keep_until)
    chosen = text("filed.chosen", who=kept.person_text, day=kept.at_utc[:10]) if kept.person_text else ""
    holds = [text("filed.held", who=one.person_text, reason=one.reason_text) for one in opened.holds]
    return " ".join(part for part in (text("filed.kept", retention=told), until, chosen, *holds) if part)
