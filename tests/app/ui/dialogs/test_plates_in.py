from __future__ import annotations

import pytest
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtTest import QAbstractItemModelTester

from app.ui.dialogs.frame import open_dialog
from app.ui.models.plates import PlatesModel

LIST = "Bay\tPhase\tRatio\tWer\nBay 1\tL1\t600/1\tx\nBay 1\tL2\t6oo/1\tx\n"


@pytest.fixture
def dialog(hand):
    hand.press(Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    yield open_dialog()
    QGuiApplication.clipboard().clear()


def _paste(hand, words):
    QGuiApplication.clipboard().setText(words)
    hand.press(Qt.Key.Key_V, Qt.KeyboardModifier.AltModifier)


def test_a_pasted_list_is_looked_at_then_taken(hand, dialog):
    _paste(hand, LIST)
    assert dialog.summary.text().startswith("1 positions with 1 cores will be taken; 1 of 2 rows")
    assert "oo is no unit" in dialog.model.index(1, 1).data()
    dialog.main.click()
    hand.rest()
    assert [position.name_text for position in hand.job.positions] == ["S1 line", "Bay 1"]
    assert hand.window.page_id == "board"


def test_a_column_can_be_said_to_hold_something_else_and_that_is_remembered(hand, dialog):
    _paste(hand, "Ort\tRatio\nBay 7\t600/1\n")
    assert "No column holds the position" in dialog.summary.text()
    dialog.columns[0].line.setFocus()
    hand.press(Qt.Key.Key_Space)
    hand.press(Qt.Key.Key_Return)
    assert dialog.columns[0].value() == "position"
    dialog.main.click()
    hand.rest()
    hand.press(Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    _paste(hand, "Ort\tRatio\nBay 8\t600/1\n")
    assert open_dialog().columns[0].value() == "position"
    hand.press(Qt.Key.Key_Escape)


def test_a_picture_on_the_clipboard_is_no_list(hand, dialog):
    held = QMimeData()
    held.setImageData(QImage(4, 4, QImage.Format.Format_RGB32))
    QGuiApplication.clipboard().setMimeData(held)
    hand.press(Qt.Key.Key_V, Qt.KeyboardModifier.AltModifier)
    assert dialog.trouble.text().startswith("The clipboard holds a picture")
    hand.press(Qt.Key.Key_Escape)


def test_a_file_is_read_and_one_that_is_none_is_refused_at_its_field(hand, dialog, tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(LIST, encoding="utf-8")
    hand.enter(str(tmp_path / "none.csv"))
    hand.wait(lambda: dialog.path.reason)
    assert dialog.path.reason.startswith("none.csv: cannot be read")
    dialog.path.line.selectAll()
    hand.enter(str(path))
    hand.wait(lambda: dialog.model.rowCount())
    assert dialog.model.rowCount() == 2
    hand.press(Qt.Key.Key_Escape)


def test_nothing_is_taken_before_there_is_a_list(hand, dialog):
    dialog.main.click()
    assert "Paste the cells first" in dialog.trouble.text()
    hand.press(Qt.Key.Key_Escape)


def test_the_rows_pass_the_tester_while_lists_come_and_go(qapp):
    import itertools

    from app.exchange import plates, tables

    model = PlatesModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    ids = itertools.count(1)
    for words in (LIST, "", "Bay\tRatio\nA\t600/1\n", LIST):
        model.put(plates.preview(tables.from_text(words), new_id=lambda: str(next(ids))))
    assert (model.rowCount(), model.columnCount()) == (2, 5)
    assert tester.model() is model
