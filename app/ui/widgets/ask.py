"""A short question with numbered answers and, where it helps, a line for one's own words."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.ui import theme
from app.ui.texts import text


class Ask(QDialog):
    """Answers by number key, by Enter on the line, or by touch. Escape leaves everything as it was."""

    def __init__(
        self,
        parent: QWidget,
        title: str,
        answers: Sequence[str],
        answered: Callable[[int, str], None],
        *,
        with_line: bool = True,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setModal(True)
        self._answered = answered
        self._answers = list(answers)
        column = QVBoxLayout(self)
        column.setSpacing(8)
        head = QLabel(title)
        head.setFont(theme.font("body", bold=True))
        head.setWordWrap(True)
        column.addWidget(head)
        for number, words in enumerate(answers, start=1):
            column.addWidget(self._button(number, words))
        self.line = QLineEdit(self)
        self.line.setMinimumHeight(theme.density().field)
        self.line.setPlaceholderText(text("ask.own_words"))
        self.line.setAccessibleName(text("ask.own_words"))
        self.line.setVisible(with_line)
        column.addWidget(self.line)
        column.addLayout(self._foot(with_line))
        self.setMinimumWidth(440)
        (self.line if with_line else self).setFocus()

    def _button(self, number: int, words: str) -> QPushButton:
        button = QPushButton(f"{number}  {words}")
        button.setMinimumHeight(44)
        button.setStyleSheet("text-align: left")
        button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        button.setAutoDefault(False)
        button.clicked.connect(lambda: self._answer(number - 1))
        return button

    def _foot(self, with_line: bool) -> QHBoxLayout:
        row = QHBoxLayout()
        cancel = QPushButton(text("ask.cancel"))
        keep = QPushButton(text("ask.keep"))
        for button in (cancel, keep):
            button.setMinimumHeight(44)
            button.setAutoDefault(False)
        cancel.clicked.connect(self.reject)
        keep.clicked.connect(self._keep_line)
        keep.setVisible(with_line)
        row.addWidget(cancel)
        row.addStretch(1)
        row.addWidget(keep)
        return row

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter keeps the line; a number key answers while the line is empty."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._keep_line()
        elif event.text().isdigit() and 1 <= int(event.text()) <= len(self._answers):
            self._answer(int(event.text()) - 1)
        else:
            super().keyPressEvent(event)

    def showEvent(self, event: QShowEvent) -> None:
        """Number keys reach the dialog before the line while that is empty."""
        super().showEvent(event)
        self.line.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A number as the first sign in the line is an answer, not a text."""
        if watched is self.line and isinstance(event, QKeyEvent) and event.type() == QKeyEvent.Type.KeyPress:
            sign = event.text()
            if not self.line.text() and sign.isdigit() and 1 <= int(sign) <= len(self._answers):
                self._answer(int(sign) - 1)
                return True
        return False

    def _keep_line(self) -> None:
        words = self.line.text().strip()
        if words:
            self.accept()
            self._answered(-1, words)

    def _answer(self, index: int) -> None:
        self.accept()
        self._answered(index, self._answers[index])
