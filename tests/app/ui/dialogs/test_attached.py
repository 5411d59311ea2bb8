from __future__ import annotations

import io

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QImage
from reportlab.pdfgen.canvas import Canvas

from app.jobstore import attachments
from app.ui.dialogs.attached import AttachedDialog
from app.ui.dialogs.frame import open_dialog
from app.ui.dialogs.viewer import ViewerDialog, drawn
from tests.app.exchange.test_pictures import jpeg

KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def files(hand, tmp_path):
    """A photograph twice as wide as high, a certificate of two pages, a photograph without an end."""
    photo = QImage(400, 200, QImage.Format.Format_RGB32)
    photo.fill(QColor("navy"))
    photo.save(str(tmp_path / "plate.png"))
    written = io.BytesIO()
    canvas = Canvas(written, pagesize=(300, 200))
    for _ in range(2):
        canvas.drawString(20, 20, "certificate")
        canvas.showPage()
    canvas.save()
    (tmp_path / "paper.pdf").write_bytes(written.getvalue())
    (tmp_path / "cut.jpg").write_bytes(jpeg(640, 480))
    for name in ("plate.png", "paper.pdf", "cut.jpg"):
        hand.window.session.do(lambda desk, job_id, name=name: desk.attach(job_id, tmp_path / name))
        hand.rest()
    return tmp_path


@pytest.fixture
def listed(hand, files) -> AttachedDialog:
    hand.press(Qt.Key.Key_I, KEYS)
    yield open_dialog()
    hand.rest()
    while open_dialog() is not None:
        hand.press(Qt.Key.Key_Escape)


def test_a_photograph_fills_the_window_and_keeps_its_shape(hand, listed):
    hand.press(Qt.Key.Key_Return)
    viewer = open_dialog()
    hand.wait(lambda: viewer.shown)
    size = viewer._picture.size()
    assert (size.width(), round(size.width() / size.height(), 1)) == (400, 2.0)
    assert viewer.head_words() == "plate.png · the job"


def test_keys_go_through_files_and_pages_and_back(hand, listed):
    hand.press(Qt.Key.Key_Return)
    viewer = open_dialog()
    assert isinstance(viewer, ViewerDialog)
    hand.press(Qt.Key.Key_Right)
    hand.wait(lambda: viewer.shown)
    hand.press(Qt.Key.Key_PageDown)
    hand.wait(lambda: viewer.shown)
    assert viewer.head_words().endswith("page 2 of 2")
    hand.press(Qt.Key.Key_PageDown)
    assert viewer.page == 1
    hand.press(Qt.Key.Key_Left)
    hand.wait(lambda: viewer.shown)
    assert viewer.row == 0
    hand.press(Qt.Key.Key_Escape)
    assert open_dialog() is listed


def test_a_damaged_photograph_says_what_is_safe_and_what_to_do(hand, listed):
    listed.table.selectRow(2)
    hand.press(Qt.Key.Key_Return)
    viewer = open_dialog()
    hand.wait(lambda: "cannot be shown" in viewer.sentence)
    assert viewer.sentence.startswith("Your readings are saved.")


def test_a_file_that_went_from_the_folder_is_said_to_be_missing(hand, listed):
    one = hand.job.attached[0]
    attachments.path_of(hand.window.session.desk.store.path, one.digest_hex).unlink()
    hand.press(Qt.Key.Key_Return)
    viewer = open_dialog()
    hand.wait(lambda: "is missing" in viewer.sentence)
    assert "plate.png" in viewer.sentence


def test_a_file_is_struck_with_a_reason_and_stays_in_the_list(hand, listed):
    hand.press(Qt.Key.Key_Delete)
    hand.enter("wrong bay")
    hand.wait(lambda: open_dialog() is listed)
    assert [one.struck_text for one in hand.job.attached] == ["wrong bay", "", ""]
    assert listed.model.index(0, 3).data() == "struck: wrong bay"
    listed.table.setFocus()
    hand.press(Qt.Key.Key_Delete)
    assert listed.trouble.text() == "It is struck already."


def test_a_large_photograph_is_decoded_at_the_size_that_it_is_shown_in(qapp, tmp_path):
    photo = QImage(6000, 3000, QImage.Format.Format_RGB32)
    photo.fill(QColor("white"))
    photo.save(str(tmp_path / "large.jpg"))
    seen = drawn((tmp_path / "large.jpg").read_bytes(), "image/jpeg", 0, QSize(800, 600))
    assert (seen.image.width(), seen.image.height()) == (800, 400)


def test_the_list_without_files_says_so(hand):
    hand.press(Qt.Key.Key_I, KEYS)
    dialog = open_dialog()
    hand.press(Qt.Key.Key_Delete)
    assert (dialog.model.rowCount(), open_dialog() is dialog) == (0, True)
    hand.press(Qt.Key.Key_Escape)
