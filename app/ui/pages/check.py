"""Check a sheet: genuine, altered or cannot tell, and what no program can know."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QRectF, QSize, Qt, QTimer
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.desk import Change
from app.ui import theme
from app.ui.shell.fields import FormBox, FormField
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.scroll import Scroll, bring_into_view
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.record.verdict import Outcome, Verdict
    from app.ui.window import MainWindow

_KNOWN_GROUPS: Final = 4


class OutcomeLabel(QWidget):
    """One of three words: genuine plain, altered as a filled block, cannot tell in a heavy frame."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._outcome: Outcome | None = None
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.hide()

    def put(self, outcome: Outcome | None) -> None:
        """Show another outcome; None hides it."""
        self._outcome = outcome
        self.setAccessibleName(self.words)
        self.setVisible(outcome is not None)
        self.updateGeometry()
        self.update()

    @property
    def words(self) -> str:
        """The word that is shown."""
        return text(f"check.{self._outcome}") if self._outcome is not None else ""

    def sizeHint(self) -> QSize:
        """Room for the word."""
        wide = QFontMetricsF(theme.font("keyed", bold=True)).horizontalAdvance(self.words)
        return QSize(int(wide) + 32, 44)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Word, block or frame."""
        painter = QPainter(self)
        ink, sheet = theme.color("ink"), theme.color("sheet")
        altered = self._outcome == "altered"
        painter.fillRect(self.rect(), ink if altered else sheet)
        if not altered:
            pen = QPen(ink, 3 if self._outcome == "cannot tell" else 1)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5))
        painter.setPen(sheet if altered else ink)
        painter.setFont(theme.font("keyed", bold=True))
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self.words)


class CheckPage(QWidget):
    """A file, perhaps a pack to hold it against; the answer beneath."""

    page_id = "check"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.form = FormBox()
        self.file = FormField(text("check.file"), must_be_stated=True)
        self.pack = FormField(text("check.pack"), help_text=text("check.pack_help"))
        self.outcome = OutcomeLabel()
        self.sentences, self.signers = Words(role="body"), Words(role="finding")
        self.details = Words(role="second")
        self.heading_signers = Line(text("check.signers"), role="value", bold=True)
        self.browse = VerbButton(text("path.browse"), "Alt+B")
        self.main = VerbButton(text("check.main"), "Enter", main=True)
        self._lay_out()
        self._clear()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def first_focus(self) -> None:
        """The file."""
        self.file.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Fields, button."""
        return [Part(self.form, self.first_focus), Part(self._foot, self.main.setFocus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def check(self) -> None:
        """Check what the field names, on the writer's thread."""
        self._clear()
        named = self.file.value()
        if not named:
            self.file.say(text("path.missing"))
            self.first_focus()
            return
        path = Path(named).expanduser()
        pack = Path(self.pack.value()).expanduser() if self.pack.value() else None
        self.sentences.setText(text("check.checking"))
        self._window.session.fetch(
            self._window.works.watched("check", lambda desk: desk.check(path, pack)),
            done=self._put,
            refused=self._refuse,
        )

    def _refuse(self, sentence: str) -> None:
        self.sentences.setText("")
        self.file.say(sentence)
        self.first_focus()

    def _put(self, verdict: Verdict) -> None:
        self.outcome.put(verdict.outcome)
        first, *rest = [retold(one) for one in verdict.sentences]
        self.sentences.setText("\n".join((begun(first.partition(": ")[2] or first), *rest)))
        self.heading_signers.setVisible(bool(verdict.signers))
        self.signers.setText(
            "\n".join(
                text(
                    "check.signer",
                    meaning=retold(one.meaning),
                    name=one.name_text,
                    at=_said(one.at_utc),
                    groups=_groups(one.fingerprint),
                )
                for one in verdict.signers
            )
        )
        self.details.setText("\n".join(f"{name}: {value}" for name, value in verdict.details))
        # On a small screen the answer would stand below the fields.
        QTimer.singleShot(0, self.outcome, lambda: bring_into_view(self.sentences))

    def _clear(self) -> None:
        self.file.say("")
        self.outcome.put(None)
        self.heading_signers.hide()
        for words in (self.sentences, self.signers, self.details):
            words.setText("")

    def _browse(self) -> None:
        field = self.pack if self.pack.line.hasFocus() else self.file
        browser = QFileDialog(self, text("check.heading"), field.value())
        browser.setFileMode(QFileDialog.FileMode.ExistingFile)
        browser.fileSelected.connect(lambda path: self._take(field, path))
        browser.finished.connect(browser.deleteLater)
        browser.open()

    def _take(self, field: FormField, path: str) -> None:
        field.line.setText(path)
        field.line.setFocus()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self.form)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(8)
        column.addWidget(Line(text("check.heading"), role="heading", bold=True))
        column.addWidget(Words(text("check.intro")))
        for field in (self.file, self.pack):
            self.form.adopt(field)
            column.addWidget(field)
        self.form.finished.connect(self.check)
        column.addSpacing(8)
        for widget in (self.outcome, self.sentences, self.heading_signers, self.signers, self.details):
            column.addWidget(widget)
        column.addSpacing(12)
        column.addWidget(Line(text("check.not_known"), role="value", bold=True))
        for number in (1, 2, 3, 4):
            column.addWidget(Words(text(f"check.not_known_{number}")))
        column.addStretch(1)
        foot = self._foot = Panel("sheet", rules="top", weight=2)
        foot.setFixedHeight(theme.density().main_button + 6)
        row = QHBoxLayout(foot)
        row.setContentsMargins(12, 4, 4, 2)
        row.setSpacing(8)
        row.addStretch(1)
        self.browse.answer_key()
        self.browse.clicked.connect(self._browse)
        self.main.clicked.connect(self.check)
        self.main.setMinimumWidth(238)
        row.addWidget(self.browse)
        row.addWidget(self.main)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(Scroll(self.form), 1)
        outer.addWidget(foot)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter outside a field checks."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.check()
        else:
            super().keyPressEvent(event)


def begun(sentence: str) -> str:
    """A sentence with a capital at its beginning; the name of a file stays as it is.

    >>> begun("the sheet is as it was"), begun("record.p7s is not the file that was issued")
    ('The sheet is as it was', 'record.p7s is not the file that was issued')
    """
    is_name = "." in sentence.partition(" ")[0].rstrip(".")
    return sentence if is_name else sentence[:1].upper() + sentence[1:]


def _said(at_utc: str) -> str:
    from app.record.instants import instant_of, said

    return said(instant_of(at_utc))


def _groups(fingerprint: str) -> str:
    from app.record.canonical import digest_groups

    return " ".join(digest_groups(fingerprint).split()[:_KNOWN_GROUPS])
