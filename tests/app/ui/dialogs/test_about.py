from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.ui.dialogs.frame import open_dialog
from app.ui.shell.lettering import Words


def test_version_build_and_libraries_are_shown_and_copied(hand):
    hand.window.deeds.do("about")
    dialog = open_dialog()
    shown = "\n".join(label.text() for label in dialog.findChildren(Words))

    assert "run from its source, not built" in shown
    assert "\nSQLite 3." in shown
    assert "PySide6 Essentials 6.11" in dialog.reader.toPlainText()
    hand.press(Qt.Key.Key_C, Qt.KeyboardModifier.AltModifier)
    assert QApplication.clipboard().text().startswith(dialog.summary[0])
    assert "numpy 2." in QApplication.clipboard().text()
    hand.press(Qt.Key.Key_Return)
    assert open_dialog() is None
