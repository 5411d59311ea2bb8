"""What this program is: version, build, what it runs on, and every library with its licence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPlainTextEdit

from app import about
from app.ui import theme
from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow


class AboutDialog(DialogFrame):
    """The lines that a report of a fault asks for first, then the libraries; one button copies all of it."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(text("about.heading"), main=text("dialog.close"), width=900, parent=window)
        self.summary = about.summary()
        self.body.addWidget(Words(self.summary[0], role="value", bold=True))
        self.body.addWidget(Words("\n".join(self.summary[1:])))
        self.body.addWidget(Words(text("about.libraries")))
        self.reader = QPlainTextEdit(self._libraries())
        self.reader.setReadOnly(True)
        self.reader.setFont(theme.font("second"))
        self.reader.setAccessibleName(text("about.libraries"))
        self.reader.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByKeyboard | Qt.TextInteractionFlag.TextSelectableByMouse
        )
        self.reader.setMinimumHeight(260)
        self.body.addWidget(self.reader, 1)
        copy = self.add_button(text("about.copy"), "Alt+C")
        copy.answer_key()
        copy.clicked.connect(self.copy)
        self.cancel.hide()
        self.confirmed.connect(self.accept)

    def copy(self) -> None:
        """Put all of it where a paste takes it from."""
        QApplication.clipboard().setText("\n".join((*self.summary, "", self.reader.toPlainText())))

    def _libraries(self) -> str:
        return "\n".join(
            text("about.library", names=one.name_text, licence=one.licence_text, use=one.use_text)
            for one in about.libraries()
        )
