from __future__ import annotations

from PySide6.QtCore import Qt

from app.ui.dialogs.frame import open_dialog
from app.ui.dialogs.readings_in import ReadingsDialog

CONTROL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def test_one_key_asks_for_a_file_of_readings_from_any_page(hand):
    hand.window.show_page("title")
    hand.press(Qt.Key.Key_V, CONTROL_SHIFT)
    assert hand.window.page_id == "worksheet"
    assert isinstance(open_dialog(), ReadingsDialog)
    hand.press(Qt.Key.Key_Return)
    assert "Name the file first" in open_dialog().trouble.text()
    hand.press(Qt.Key.Key_Escape)
