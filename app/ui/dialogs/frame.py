"""The frame that every dialog stands in: heading, words, fields, what is wrong, and two buttons."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen, QShowEvent
from PySide6.QtWidgets import QApplication, QDialog, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.settings import Settings
from app.ui import theme
from app.ui.shell.fields import FormBox, FormField
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Line, Words
from app.ui.shell.scroll import Scroll
from app.ui.texts import text

_MARGIN: Final = 22


class DialogFrame(QDialog):
    """Opened with `open()`; `confirmed` tells of the main button. It closes only by `accept()`."""

    confirmed = Signal()

    def __init__(
        self, heading: str, *, main: str, intro: str = "", width: int = 560, parent: QWidget | None = None
    ):
        super().__init__(parent)
        self.setWindowTitle(heading)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setModal(True)
        self._wide = width
        self.form = FormBox()
        self.form.finished.connect(self._confirm)
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(_MARGIN, 18, _MARGIN, 18)
        column.setSpacing(8)
        head = QHBoxLayout()
        head.addWidget(Words(heading, role="heading", bold=True), 1)
        self.training_mark = Line(
            text("training.mark") if _is_training(parent) else "", role="value", bold=True
        )
        self.training_mark.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.training_mark.setVisible(bool(self.training_mark.text))
        head.addWidget(self.training_mark)
        column.addLayout(head)
        if intro:
            column.addWidget(Words(intro))
        self.body = QVBoxLayout(self.form)
        self.body.setContentsMargins(0, 6, 0, 0)
        self.body.setSpacing(8)
        self._scroll = Scroll(self.form)
        column.addWidget(self._scroll, 1)
        self.trouble = Words(role="value", bold=True)
        self.trouble.hide()
        column.addWidget(self.trouble)
        self._buttons = QHBoxLayout()
        self._buttons.setSpacing(8)
        self._buttons.addStretch(1)
        self.cancel = VerbButton(text("dialog.cancel"), "Esc")
        self.cancel.clicked.connect(self.reject)
        self.main = VerbButton(main, "Enter", main=True)
        self.main.clicked.connect(self._confirm)
        self._buttons.addWidget(self.cancel)
        self._buttons.addWidget(self.main)
        for button in (self.cancel, self.main):
            button.let_shrink()
            button.setFixedHeight(60)
        column.addLayout(self._buttons)

    def add_field(
        self,
        caption: str,
        value: str = "",
        *,
        choices: Sequence[tuple[str, str]] = (),
        must_be_stated: bool = False,
        help_text: str = "",
    ) -> FormField:
        """One question under the last one."""
        field = FormField(caption, choices=choices, must_be_stated=must_be_stated, help_text=help_text)
        field.show_text(value)
        self.form.adopt(field)
        self.body.addWidget(field)
        return field

    def add_row(self, *fields: FormField) -> None:
        """Questions beside each other."""
        row = QHBoxLayout()
        row.setSpacing(8)
        for field in fields:
            self.form.adopt(field)
            row.addWidget(field, 1, Qt.AlignmentFlag.AlignTop)
        self.body.addLayout(row)

    def add_button(self, words: str, key: str = "") -> VerbButton:
        """A further button, left of the two."""
        button = VerbButton(words, key)
        button.let_shrink()
        button.setFixedHeight(60)
        self._buttons.insertWidget(0, button)
        return button

    def say(self, sentence: str) -> None:
        """Why it cannot be done; everything typed stays."""
        self.trouble.setText(sentence)
        self.trouble.setVisible(bool(sentence))
        self.fit()

    def fit(self) -> None:
        """Take the height that the words want now."""
        if self.isVisible():
            self._column.activate()
            self.resize(self.sizeHint())

    def _confirm(self) -> None:
        self.say("")
        self.confirmed.emit()

    def sizeHint(self) -> QSize:
        """As wide as was asked for, as tall as the words want at that width, never more than the window."""
        parent = self.parentWidget()
        room = parent.size() if parent is not None else QSize(1366, 768)
        wide = min(max(self._wide, self._column.minimumSize().width()), room.width() - 24)
        within = wide - 2 * _MARGIN
        form = self.form
        tall = form.heightForWidth(within) if form.hasHeightForWidth() else form.sizeHint().height()
        self._scroll.wanted_height = tall
        self._scroll.updateGeometry()
        return QSize(wide, min(self._column.totalHeightForWidth(wide), room.height() - 16))

    def setVisible(self, visible: bool) -> None:
        """Come up at the size asked for: Qt alone would hold it under two thirds of the screen."""
        if visible and not self.isVisible():
            # Where nothing is asked, no room is left for an answer.
            self._scroll.setVisible(self.body.count() > 0)
            self.resize(self.sizeHint())
        super().setVisible(visible)

    def showEvent(self, event: QShowEvent) -> None:
        """The first field takes the focus, else the main button."""
        super().showEvent(event)
        first = next((field for field in self.form.fields if not field.locked), None)
        if first is not None:
            first.line.setFocus(Qt.FocusReason.TabFocusReason)
        else:
            self.main.setFocus(Qt.FocusReason.TabFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter outside a field presses the main button; Escape leaves everything as it was."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._confirm()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """A sheet with a black edge."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("sheet"))
        painter.setPen(QPen(theme.color("ink"), 2))
        painter.drawRect(self.rect().adjusted(1, 1, -1, -1))


def _is_training(parent: QWidget | None) -> bool:
    """Whether a dialog stands before a window of training: it may cover what the window says of that."""
    settings = getattr(parent, "settings", None)
    return isinstance(settings, Settings) and settings.training


def open_dialog() -> QDialog | None:
    """The dialog that stands in front, if one does."""
    found = QApplication.activeModalWidget()
    return found if isinstance(found, QDialog) else None
