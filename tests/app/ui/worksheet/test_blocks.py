from __future__ import annotations

import json
import zipfile

import pytest
from openpyxl import Workbook
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QApplication

from app.exchange import mappings
from app.ui.dialogs.readings_in import ReadingsDialog
from ctcore.job import Instrument

CONTROL = Qt.KeyboardModifier.ControlModifier
EXPORT = "Logger 3;serial 77\nCh1;Ch2;Note\n0.02;3.43;a\n0.08;9.12;b\n"


@pytest.fixture
def rows(excitation):
    """The first two texts of every settled row."""
    return lambda: [row.texts[1:3] for row in excitation.sheet.rows if row.entered]


@pytest.fixture
def dialog(excitation, qtbot):
    """The dialog that stands open; Escape leaves it at the end of a test."""
    yield lambda: excitation.findChild(ReadingsDialog)
    left = excitation.findChild(ReadingsDialog)
    if left is not None and left.isVisible():
        qtbot.keyClick(left, Qt.Key.Key_Escape)
    QGuiApplication.clipboard().clear()


@pytest.fixture
def paste(excitation, press, dialog):
    def paste_(block: str) -> ReadingsDialog:
        QGuiApplication.clipboard().setText(block)
        press(Qt.Key.Key_V, CONTROL)
        return dialog()

    return paste_


@pytest.fixture
def read(excitation, qtbot, writer, dialog, tmp_path):
    """Opens the dialog, types the path of a file with this content, and waits until it was read."""

    def read_(content: str | bytes, name: str = "export.csv") -> ReadingsDialog:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        excitation.cursor_in_hand.blocks.from_file()
        qtbot.keyClicks(dialog().path.line, str(path))
        qtbot.keyClick(dialog().path.line, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: not writer.busy)
        return dialog()

    return read_


@pytest.fixture
def answer(qtbot):
    """Chooses an answer of a field by its first letters."""

    def answer_(field, letters: str) -> None:
        field.line.setFocus()
        qtbot.keyClicks(field.line, letters)
        qtbot.keyClick(field.line, Qt.Key.Key_Return)

    return answer_


@pytest.fixture
def keep(excitation, qtbot, writer):
    """Presses the main button by Enter. Without a window manager nobody activates the page afterwards."""

    def keep_(dialog: ReadingsDialog) -> None:
        dialog.main.setFocus()
        qtbot.keyClick(dialog.main, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: not writer.busy)
        excitation.activateWindow()
        QApplication.processEvents()

    return keep_


def test_a_file_is_looked_at_then_kept_in_one_act_that_one_undo_takes_back(read, keep, rows, press):
    dialog = read("U [V];I [A]\n20;0.00343\n80;9o12\n")
    assert "3 readings will be kept, 1 cells are refused" in dialog.summary.text()
    assert dialog.model.index(1, 2).data().startswith("9o12  ! ")
    keep(dialog)
    assert rows() == [("20", "3.43"), ("80", "")]
    press(Qt.Key.Key_Z, CONTROL)
    assert rows() == []


def test_columns_and_units_told_by_keyboard_are_followed(read, answer, keep, rows):
    dialog = read(EXPORT)
    assert dialog.preview.heading_line == 2
    answer(dialog.columns[0][1], "kV")
    assert "as told, numbers in kV" in dialog.model.headerData(1, Qt.Orientation.Horizontal)
    keep(dialog)
    assert rows() == [("20", "3.43"), ("80", "9.12")]


def test_what_was_told_is_known_again_by_the_headings(read, answer, keep, rows, desk, acknowledged, page):
    desk.set_instrument(
        acknowledged.job_id, Instrument(instrument_id="l", name_text="Logger 3", kind_text="logger")
    )
    page.open(desk.view(acknowledged.job_id), page.sheet.core.core_id, "excitation")
    dialog = read(EXPORT)
    answer(dialog.columns[0][1], "kV")
    answer(dialog.instrument, "logger")
    keep(dialog)
    again = read("Logger 3;serial 77\nMonday;\nCh1;Ch2;Note\n0.16;14.4;a\n", "next.csv")
    assert (again.preview.heading_line, again.columns[0][1].value()) == (3, "kV")
    assert "Understood as last time, by its headings (logger)" in again.notes.text()
    keep(again)
    assert rows()[-1] == ("160", "14.4")


def test_a_pasted_block_under_known_headings_is_understood_likewise(read, answer, keep, paste, rows):
    dialog = read(EXPORT)
    answer(dialog.columns[0][1], "kV")
    keep(dialog)
    pasted = paste("Ch1\tCh2\tNote\n0.16\t14.4\tc\n")
    assert pasted.columns[0][1].value() == "kV"
    keep(pasted)
    assert rows()[-1] == ("160", "14.4")


def test_another_line_can_be_said_to_head_the_columns(read, answer):
    dialog = read("Ch1;Ch2\n1;2\nU [V];I [mA]\n20;3.43\n")
    answer(dialog.heading, "line 3")
    assert (dialog.preview.heading_line, len(dialog.preview.entries())) == (3, 2)
    assert "Lines above the headings, left out: 2." in dialog.notes.text()


def test_mixed_decimal_marks_are_asked_for_and_nothing_is_kept_before(paste, answer, keep, rows):
    dialog = paste("20,5\t3.43\n80,5\t9.12\n")
    assert "say which mark this block has" in dialog.summary.text()
    keep(dialog)
    assert (dialog.isVisible(), rows()) == (True, [])
    answer(dialog.mark, "comma")
    assert "2 cells are refused" in dialog.summary.text()
    keep(dialog)
    assert rows() == [("20.5", ""), ("80.5", "")]


def test_commas_that_could_part_columns_or_be_decimals_are_asked_for(read, answer, keep, writer, qtbot):
    dialog = read("20,5\n80,5\n")
    assert "say what parts the columns" in dialog.summary.text()
    keep(dialog)
    assert dialog.isVisible()
    answer(dialog.parted, "semicolons")
    qtbot.waitUntil(lambda: not writer.busy)
    assert len(dialog.columns) == 1


def test_a_workbook_under_a_false_name_tells_its_hidden_columns_and_merged_cells(read, tmp_path, keep, rows):
    book = Workbook()
    for line in (["U [V]", "I [mA]", "X"], [20, 3.43, 1], [80, 9.12, None]):
        book.active.append(line)
    book.active.column_dimensions["C"].hidden = True
    book.active.merge_cells("C2:C3")
    book.save(tmp_path / "made.xlsx")
    dialog = read((tmp_path / "made.xlsx").read_bytes(), "export.csv")
    assert "Hidden in the sheet and shown here: columns C" in dialog.notes.text()
    assert "were merged" in dialog.notes.text()
    keep(dialog)
    assert rows() == [("20", "3.43"), ("80", "9.12")]


def test_a_picture_called_csv_is_refused_at_its_field(read, keep, rows):
    dialog = read(b"\x89PNG\r\n\x1a\n\x00\x01", "photo.csv")
    assert dialog.path.reason.startswith("Your readings stand as they were. photo.csv")
    assert "neither a table of text nor a workbook" in dialog.path.reason
    keep(dialog)
    assert rows() == []


def test_a_workbook_that_unpacks_to_gigabytes_is_refused_unread(read, tmp_path):
    with zipfile.ZipFile(tmp_path / "bomb", "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", b" " * 70_000_000)
    dialog = read((tmp_path / "bomb").read_bytes(), "bomb.xlsx")
    assert "unpacks to 70 MB in 1 parts" in dialog.path.reason


def test_a_refused_file_leaves_nothing_of_the_one_before_to_be_kept(read, qtbot, writer, keep, rows):
    dialog = read("U [V];I [mA]\n20;3.43\n")
    dialog.path.line.selectAll()
    qtbot.keyClicks(dialog.path.line, "/nowhere.csv")
    qtbot.keyClick(dialog.path.line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(dialog.path.reason))
    keep(dialog)
    assert (dialog.model.rowCount(), rows()) == (0, [])


def test_a_million_cells_are_refused_before_they_are_read(paste):
    dialog = paste("1\t2\n" * 500_000)
    assert "about 1000001 cells" in dialog.summary.text()


def test_a_picture_on_the_clipboard_says_so_and_opens_nothing(excitation, press, dialog):
    held = QMimeData()
    held.setImageData(QImage(4, 4, QImage.Format.Format_RGB32))
    QGuiApplication.clipboard().setMimeData(held)
    press(Qt.Key.Key_V, CONTROL)
    assert excitation.body.hint.text().startswith("The clipboard holds a picture")
    assert dialog() is None


def test_two_columns_cannot_be_the_same_quantity(paste, answer):
    dialog = paste("U [V]\tI [mA]\n20\t3.43\n")
    answer(dialog.columns[1][0], "exciting v")
    assert dialog.preview.columns[1].reason == "another column is it"


def test_a_layout_file_that_holds_something_else_remembers_nothing(tmp_path):
    kept = {"excitation/\nch1\nch2": {"columns": [["v_excitation_v", 1], ["", ""]], "comma": None}}
    (tmp_path / mappings.FILE_NAME).write_text(json.dumps(kept))
    assert mappings.recognised(tmp_path, "excitation", [["Ch1", "Ch2"]]) == (0, {})
