from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication

from app.desk import Address
from app.report.page_pictures import PagedFile
from app.ui import theme
from app.ui.dialogs.frame import open_dialog
from app.ui.preview.back import PagesBehind, image_of
from app.ui.shell.tab_button import TabButton
from ctcore.job import Header
from tests.app.report.test_page_pictures import paper


def pixels(image: QImage) -> np.ndarray:
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(grey.constBits(), np.uint8).reshape(grey.height(), grey.bytesPerLine())
    return rows[:, : grey.width()].astype(float)


def test_a_draft_is_shown_as_it_would_be_written_now(reader, tmp_path):
    assert reader.window.page_id == "preview"
    assert reader.page.sheet.standing == "draft"
    assert reader.page.heading.text.startswith("Draft of revision 1 · J-77")
    assert "DRAFT, NOT FROZEN" in reader.page.behind.file.words(0)


def test_what_is_on_the_screen_is_what_the_file_draws(reader):
    paper_widget = reader.page.paper
    reader.press(Qt.Key.Key_A)
    reader.settle()
    seen = paper_widget.grab().toImage()
    place = paper_widget._place()
    shown = pixels(seen.copy(place.toAlignedRect()))
    dpi = round(96.0 * paper_widget.percent / 100.0 * seen.devicePixelRatio(), 2)
    with PagedFile(reader.page.sheet.data) as file:
        wanted, other = (pixels(image_of(file.picture(page, dpi))) for page in (0, 1))
    assert np.abs(np.subtract(shown.shape, wanted.shape)).max() <= 1
    # Without the line around the paper, which is the screen's.
    inner = tuple(slice(3, size - 4) for size in shown.shape)
    assert np.abs(shown[inner] - wanted[inner]).mean() < 0.1
    assert np.abs(shown[inner] - other[inner]).mean() > 5.0


def test_keys_turn_pages_and_the_page_line_goes_to_one(reader):
    last = reader.page.behind.page_count - 1
    assert last >= 2
    reader.press(Qt.Key.Key_PageDown)
    assert (reader.page.paper.page, reader.page.page_line.text()) == (1, f"Page 2 of {last + 1}")
    reader.press(Qt.Key.Key_End)
    assert reader.page.paper.page == last
    reader.press(Qt.Key.Key_G)
    reader.enter("2")
    assert (reader.page.paper.page, reader.focus) == (1, reader.page.paper)
    assert reader.page.paper.accessibleName() == f"Sheet, page 2 of {last + 1}"


def test_a_page_that_is_not_there_leaves_the_one_in_hand(reader):
    reader.press(Qt.Key.Key_G)
    reader.enter("99")
    assert reader.page.paper.page == 0
    assert reader.page.page_line.text() == "1"


def test_scrolling_past_the_foot_goes_on_to_the_next_page_and_back(reader):
    bar = reader.page.paper.verticalScrollBar()
    assert bar.maximum() > 0
    bar.setValue(bar.maximum())
    reader.press(Qt.Key.Key_Down)
    assert (reader.page.paper.page, bar.value()) == (1, 0)
    reader.press(Qt.Key.Key_Up)
    assert (reader.page.paper.page, bar.value()) == (0, bar.maximum())


def test_the_paper_is_fitted_and_enlarged_by_keys(reader):
    paper_widget = reader.page.paper
    reader.press(Qt.Key.Key_A)
    assert paper_widget.paper_size().height() <= paper_widget.viewport().height()
    assert paper_widget.verticalScrollBar().maximum() == 0
    whole = paper_widget.percent
    reader.type("+")
    assert paper_widget.percent > whole
    reader.type("0")
    assert paper_widget.paper_size().width() == pytest.approx(595.3 * 96 / 72, abs=0.2)
    reader.press(Qt.Key.Key_W)
    assert paper_widget.paper_size().width() <= paper_widget.viewport().width()
    assert paper_widget.percent > whole


def test_words_are_found_forward_and_back_and_marked(reader):
    reader.press(Qt.Key.Key_F3)
    assert reader.focus is reader.page.find_line
    reader.type("core")
    reader.wait(lambda: reader.page.hits)
    count = len(reader.page.hits)
    assert count > 3
    assert reader.page.count.text == f"1 of {count} places"
    reader.press(Qt.Key.Key_Return)
    assert reader.page.hit_in_hand == 1
    reader.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    reader.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    assert reader.page.hit_in_hand == count - 1
    assert reader.page.paper.page == reader.page.hits[-1].page
    box = reader.page.paper.box_on_screen(reader.page.hits[-1].boxes[0])
    assert reader.page.paper.viewport().rect().contains(box.toAlignedRect())
    edge = reader.page.paper.grab().toImage().pixelColor(int(box.left() - 3), int(box.center().y()))
    assert edge == QColor(theme.DAY.here)


def test_what_stands_nowhere_is_said(reader):
    reader.press(Qt.Key.Key_F3)
    reader.type("zebra")
    reader.wait(lambda: reader.page.count.text)
    assert reader.page.count.text == "stands nowhere"
    assert reader.page.find_line.accessibleDescription() == "stands nowhere"


def test_a_draft_is_made_again_when_the_job_changes(reader):
    before = reader.page.sheet.data
    from ctcore.job import Person

    witness = Person(person_id="w", name_text="W. Itness")
    reader.window.session.do(lambda desk, job_id: desk.set_person(job_id, witness))
    reader.wait(lambda: reader.page.sheet.data != before)
    reader.settle()
    assert reader.page.find_line.text() == ""
    reader.press(Qt.Key.Key_F3)
    reader.type("Itness")
    reader.wait(lambda: reader.page.hits)


def test_escape_leads_back_to_where_one_came_from(reader):
    reader.press(Qt.Key.Key_Escape)
    assert reader.window.page_id == "worksheet"
    reader.control(Qt.Key.Key_J)
    reader.look()
    assert reader.window.page_id == "preview"
    reader.press(Qt.Key.Key_Escape)
    assert reader.window.page_id == "jobs"


def test_the_list_of_contents_turns_the_page(reader):
    page = reader.page
    assert page.contents.isVisible()
    page.contents.setFocus()
    page.contents.take(len(page.behind.entries) - 1)
    assert page.paper.page == page.behind.entries[-1].page
    reader.press(Qt.Key.Key_Return)
    assert reader.focus is page.paper


def test_the_very_bytes_that_are_seen_are_written(reader, tmp_path):
    reader.press(Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    target = tmp_path / "seen.pdf"
    open_dialog().field.line.selectAll()
    reader.enter(str(target))
    reader.wait(target.exists)
    assert target.read_bytes() == reader.page.sheet.data
    reader.press(Qt.Key.Key_Escape)


def _first_field(desk, job_id):
    core = desk.view(job_id).job.positions[0].cts[0].cores[0]
    return Address(core.core_id, "resistance", 1, core.taps[0].tap_id, "r_measured_ohm")


def test_frozen_revisions_have_a_tab_beside_the_draft(reader):
    session = reader.window.session
    session.do(lambda desk, job_id: desk.key(job_id, _first_field(desk, job_id), "2.10"))
    reader.rest()
    session.do(lambda desk, job_id: desk.freeze(job_id))
    reader.wait(lambda: reader.page.sheet.standing == "frozen")
    assert not reader.page.tabs.isVisible()
    session.do(lambda desk, job_id: desk.revise(job_id, "retest"))
    reader.wait(lambda: reader.page.sheet.standing == "draft")
    reader.settle()
    words = [tab.text() for tab in reader.page.tabs.findChildren(TabButton) if tab.isVisible()]
    assert words == ["Draft as it stands now", "Revision 1"]
    next(tab for tab in reader.page.tabs.findChildren(TabButton) if tab.text() == "Revision 1").click()
    reader.wait(lambda: reader.page.sheet is not None and reader.page.sheet.standing == "frozen")
    reader.settle()
    assert reader.page.heading.text.startswith("Revision 1, frozen, not signed")


def test_the_list_of_jobs_shows_a_sheet_without_opening_its_job(reader):
    before = reader.window.session.job_id
    reader.window.session.fetch(_another_job, done=lambda _job_id: None)
    reader.control(Qt.Key.Key_J)
    reader.wait(lambda: reader.window.jobs.model.rowCount() == 2)
    reader.type("J-78")
    reader.look()
    reader.wait(lambda: reader.page.sheet is not None and reader.page.sheet.number_text == "J-78")
    reader.settle()
    assert reader.window.session.job_id == before
    # The title block names the job on the table, which is another one.
    assert not reader.window.title._cells["job"].isVisible()


def _another_job(desk):
    made = desk.new_job(Header(number_text="J-78", title_text="Bus bay")).view.job.job_id
    desk.add_position(made, "S2 bus", core_classes=("5P20 15 VA",))
    desk.close_job(made)
    return made


def test_a_fault_while_the_sheet_is_made_ends_the_wait(reader, monkeypatch):
    def fail(*_args, **_named):
        raise TypeError("a fault")

    monkeypatch.setattr(reader.window.session.desk, "sheet_maker", fail)
    reader.page.show_sheet(reader.page.job_id, 7)
    reader.wait(lambda: reader.page.paper.waiting_text.startswith("What you keyed is saved."))
    assert "TypeError" in reader.window.bar.sentence
    assert not reader.page.buttons["print"].isEnabled()


def test_a_fault_while_it_is_drawn_beside_the_writer_ends_the_wait_too(reader, monkeypatch):
    def fail():
        raise TypeError("a fault")

    monkeypatch.setattr(reader.window.session.desk, "sheet_maker", lambda *_args, **_named: fail)
    reader.page.show_sheet(reader.page.job_id, 7)
    reader.wait(lambda: reader.page.paper.waiting_text.startswith("What you keyed is saved."))
    assert "TypeError" in reader.window.bar.sentence


def test_paper_stays_white_by_night(reader, qapp):
    theme.apply(qapp, "night")
    reader.settle()
    corner = reader.page.paper._place().topLeft().toPoint()
    seen = reader.page.paper.grab().toImage()
    assert seen.pixelColor(corner.x() + 4, corner.y() + 40) == QColor("white")
    assert seen.pixelColor(2 + 4, 40) == QColor(theme.NIGHT.ground)


def test_on_a_narrow_screen_contents_give_way(reader):
    reader.window.resize(683, 384)
    QApplication.processEvents()
    assert not reader.page.contents.isVisible()
    assert reader.page.buttons["print"].isVisible()
    assert reader.page.paper.viewport().height() > 120


def test_pictures_are_kept_within_bounds_and_vain_wishes_are_dropped(qtbot, monkeypatch):
    monkeypatch.setattr("app.ui.preview.back.MOST_BYTES", 3_000_000)
    behind = PagesBehind()
    behind.open(paper("one", "two", "three"))
    qtbot.waitUntil(lambda: behind.file is not None, timeout=5000)
    drawn = []
    behind.drawn.connect(drawn.append)
    for page in (0, 1, 2):
        assert behind.picture(page, 72.0) is None
    qtbot.waitUntil(lambda: not behind.thread_behind.busy, timeout=5000)
    assert drawn[-1] == 2
    for page in (0, 1, 2):
        behind.picture(page, 72.0)
        qtbot.waitUntil(lambda: not behind.thread_behind.busy, timeout=5000)
    assert behind.any_picture(2) is not None
    assert behind.any_picture(0) is None
    behind.close()


def test_bytes_that_are_no_pdf_are_told(qtbot):
    behind = PagesBehind()
    with qtbot.waitSignal(behind.failed, timeout=5000) as told:
        behind.open(b"nothing")
    assert told.args[0].sentence == "These bytes are no PDF that can be shown."
    behind.close()
