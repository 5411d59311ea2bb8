from __future__ import annotations

from PySide6.QtCore import Qt

from app.report.page_pictures import PagedFile
from app.ui.dialogs.frame import open_dialog

_KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def _ask(hand):
    hand.press(Qt.Key.Key_F, _KEYS)
    return open_dialog()


def _write(hand, dialog, path):
    dialog.field.line.setText(str(path))
    dialog.confirmed.emit()
    hand.rest()


def test_forms_of_the_test_in_hand_are_written(hand, tmp_path):
    core_id, procedure_id = hand.window.place
    dialog = _ask(hand)
    dialog.cores.line.setText(dialog.cores.line.choices[2][1])
    dialog.tests.line.setText(dialog.tests.line.choices[1][1])
    path = tmp_path / "new folder" / "forms.pdf"
    _write(hand, dialog, path)
    hand.wait(lambda: hasattr(open_dialog(), "path"))
    with PagedFile(path.read_bytes()) as file:
        words = file.words(0)
        assert file.page_count == 1
    assert "NOT A RECORD UNTIL KEYED" in words
    assert "S1 line, L1, core 1" in words
    assert (core_id, procedure_id) == hand.window.place
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.bar.sentence.startswith("Field forms ")


def test_forms_of_the_whole_job_take_the_paper_asked_for(hand, tmp_path):
    dialog = _ask(hand)
    dialog.paper.line.setText("Letter")
    path = tmp_path / "forms.pdf"
    _write(hand, dialog, path)
    hand.wait(lambda: hasattr(open_dialog(), "path"))
    with PagedFile(path.read_bytes()) as file:
        assert file.size_pt(0) == (612.0, 792.0)
        assert {entry.title for entry in file.entries()} == {
            "S1 line, L1, core 1",
            "S1 line, L2, core 1",
            "S1 line, L3, core 1",
        }
    hand.press(Qt.Key.Key_Escape)


def test_a_place_that_cannot_be_written_is_said_at_the_field(hand, tmp_path):
    (tmp_path / "file").write_text("in the way")
    dialog = _ask(hand)
    _write(hand, dialog, tmp_path / "file" / "forms.pdf")
    hand.wait(lambda: dialog.field.reason)
    assert open_dialog() is dialog
    hand.press(Qt.Key.Key_Escape)
