from __future__ import annotations

from PySide6.QtCore import Qt

from app.ui.dialogs.frame import open_dialog
from tests.app.exchange.test_pictures import jpeg, png

_KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def test_a_photograph_is_attached_to_the_step_in_hand(hand, tmp_path):
    path = tmp_path / "plate.jpg"
    path.write_bytes(jpeg(640, 480))
    place = hand.window.place
    hand.press(Qt.Key.Key_A, _KEYS)
    hand.enter(str(path))
    hand.wait(lambda: open_dialog() is None)
    (attached,) = hand.job.attached
    assert (attached.core_id, attached.procedure_id) == place
    assert hand.window.bar.sentence == "plate.jpg is attached."


def test_a_picture_too_large_is_refused_at_its_field(hand, tmp_path):
    path = tmp_path / "large.png"
    path.write_bytes(png(10_000, 10_000))
    hand.press(Qt.Key.Key_A, _KEYS)
    dialog = open_dialog()
    hand.enter(str(path))
    hand.wait(lambda: dialog.field.reason)
    assert "100 megapixels" in dialog.field.reason
    assert hand.job.attached == ()
    hand.press(Qt.Key.Key_Escape)
