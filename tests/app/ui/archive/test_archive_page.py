from __future__ import annotations

import threading
import time

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from app.jobstore.archive import Archive, ArchiveProblem, Asked
from app.ui.dialogs.frame import open_dialog
from app.ui.models.filed import HitsModel
from tests.app.ui.archive.conftest import ALT, found, opened_archive

FATAL = QAbstractItemModelTester.FailureReportingMode.Warning


def shown(page):
    return [page.model.line(row).filed.number_text for row in range(page.model.rowCount())]


@pytest.mark.parametrize("place", ["sqlite", "postgresql"], indirect=True)
def test_a_question_is_typed_and_enter_opens_what_was_found(hand):
    page = opened_archive(hand)
    assert hand.window.page_id == "archive"
    hand.type("1042")
    hand.press(Qt.Key.Key_F, ALT)
    hand.wait(lambda: page.model.rowCount())
    assert shown(page) == ["1042"]
    assert page.count.text == "1 found"
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: hand.window.page("filed").opened is not None)
    assert hand.window.page_id == "filed"


def test_fields_are_asked_together_and_a_wrong_day_is_said_at_its_field(hand):
    page = found(hand, number_text="A-*")
    assert shown(page) == ["A-2", "A-1"]
    page.form.by_name["open_deviation"].show_text("yes")
    hand.press(Qt.Key.Key_F, ALT)
    hand.wait(lambda: page.model.rowCount() == 1)
    assert shown(page) == ["A-2"]
    page.form.by_name["tested_from"].line.setText("spring")
    hand.press(Qt.Key.Key_F, ALT)
    assert page.form.by_name["tested_from"].reason.startswith("A date is wanted")
    assert page.asked == Asked(number_text="A-*", open_deviation=True)


def test_nothing_found_and_no_archive_named_are_said_on_the_page(hand):
    page = found(hand, serial_text="nowhere")
    assert page.count.text == "Nothing was found."
    hand.window.settings.change(archive_place_text="")
    hand.press(Qt.Key.Key_F, ALT)
    assert page.trouble.text().startswith("Everything is kept here. No archive is named yet")
    assert open_dialog() is None


def test_more_puts_the_next_page_behind(hand, monkeypatch):
    whole = Archive.search
    monkeypatch.setattr(
        Archive, "search", lambda self, asked, before=None: whole(self, asked, before=before, limit=2)
    )
    page = found(hand)
    assert page.count.text == "2 shown, there are more"
    hand.press(Qt.Key.Key_M, ALT)
    hand.wait(lambda: page.model.rowCount() == 4)
    assert shown(page) == ["A-2", "A-1", "1043", "1042"]
    assert page.table.currentIndex().row() == 2
    assert not page.foot.buttons["more"].isEnabled()


def test_a_slow_archive_never_blocks_the_window_and_an_old_answer_is_dropped(hand, monkeypatch):
    page = opened_archive(hand)
    gate, whole = threading.Event(), Archive.search

    def slow(self, asked, before=None):
        if asked.number_text == "1042":
            gate.wait(10)
        return whole(self, asked, before=before)

    monkeypatch.setattr(Archive, "search", slow)
    began = time.monotonic()
    page.run(Asked(number_text="1042"))
    assert time.monotonic() - began < 0.1
    page.run(Asked(number_text="A-1"))
    hand.wait(lambda: shown(page) == ["A-1"])
    gate.set()
    for thread in hand.window.archive._threads:
        thread.join(10)
    hand.rest()
    assert shown(page) == ["A-1"]


def test_an_archive_that_is_gone_in_mid_search_says_what_is_safe(hand, monkeypatch):
    page = found(hand)
    before = shown(page)

    def gone(self, asked, before=None):
        raise ArchiveProblem("Everything on this computer is kept and waits.", reachable=False)

    monkeypatch.setattr(Archive, "search", gone)
    hand.press(Qt.Key.Key_F, ALT)
    hand.wait(lambda: page.trouble.isVisible())
    assert page.trouble.text() == "Everything on this computer is kept and waits."
    assert shown(page) == before
    assert open_dialog() is None


def test_an_archive_that_is_not_there_is_not_made(hand, tmp_path):
    hand.window.settings.change(archive_place_text=str(tmp_path / "slip.sqlite"))
    page = opened_archive(hand)
    hand.press(Qt.Key.Key_F, ALT)
    hand.wait(lambda: page.trouble.isVisible())
    assert "There is no file" in page.trouble.text()
    assert not (tmp_path / "slip.sqlite").exists()


def test_a_search_is_kept_asked_again_and_forgotten(hand, place):
    page = found(hand, number_text="A-*")
    hand.press(Qt.Key.Key_S, ALT)
    hand.enter("Line bays")
    hand.wait(lambda: open_dialog() is None)
    assert hand.window.bar.sentence == "The search Line bays is kept."
    hand.press(Qt.Key.Key_N, ALT)
    hand.press(Qt.Key.Key_V, ALT)
    hand.wait(open_dialog)
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: shown(page) == ["A-2", "A-1"])
    assert page.form.by_name["number_text"].value() == "A-*"
    hand.press(Qt.Key.Key_V, ALT)
    hand.wait(open_dialog)
    open_dialog().forget.click()
    hand.wait(lambda: open_dialog() is None)
    hand.press(Qt.Key.Key_V, ALT)
    hand.wait(lambda: page.trouble.isVisible())
    assert page.trouble.text().startswith("No search is kept yet")


def test_everything_that_fits_is_written_out_with_progress_and_said(hand, tmp_path):
    found(hand, number_text="104*")
    hand.press(Qt.Key.Key_E, ALT)
    dialog = open_dialog()
    dialog.folder.line.setText(str(tmp_path / "out"))
    dialog.main.click()
    hand.wait(lambda: not dialog.is_running and dialog.progress.text())
    assert dialog.progress.text().startswith("2 records, 3 files")
    assert (tmp_path / "out" / "manifest.json").exists()
    assert len(list((tmp_path / "out").glob("*.pdf"))) == 2
    dialog.reject()


def test_writing_out_stops_where_it_is_told_to_and_goes_on(hand, tmp_path, monkeypatch):
    gate, whole = threading.Event(), Archive.packed

    def slow(self, name):
        gate.wait(10)
        return whole(self, name)

    monkeypatch.setattr(Archive, "packed", slow)
    found(hand, number_text="104*")
    hand.press(Qt.Key.Key_E, ALT)
    dialog = open_dialog()
    dialog.folder.line.setText(str(tmp_path / "out"))
    hand.window.works._timer.setInterval(1)
    dialog.main.click()
    hand.wait(lambda: hand.window.works.line.isVisible())
    assert not dialog.isVisible()
    assert hand.window.works.line.words.text == "Records are written out: record 1 of 2"
    hand.press(Qt.Key.Key_Period, Qt.KeyboardModifier.ControlModifier)
    gate.set()
    hand.wait(lambda: not dialog.is_running)
    assert open_dialog() is dialog
    assert dialog.progress.text().startswith("Stopped after 1 records")
    dialog.main.click()
    hand.wait(lambda: not dialog.is_running and dialog.progress.text().startswith("2 records"))
    dialog.reject()


def test_what_was_found_passes_the_tester_while_more_comes(qapp, place):
    archive = Archive.open(place)
    hits = archive.search(Asked()).hits
    archive.close()
    model = HitsModel()
    tester = QAbstractItemModelTester(model, FATAL)
    model.show_lines(hits[:2])
    model.add_lines(hits[2:])
    model.show_lines(hits[:1])
    assert model.rowCount() == 1
    assert tester.model() is model


def test_every_part_can_be_reached_by_key_and_is_named(hand):
    page = found(hand)
    for part in page.parts():
        part.go()
        assert part.area is hand.focus or part.area.isAncestorOf(hand.focus)
    assert page.table.accessibleName() == "Records found"
    named = [field.line.accessibleName() for field in page.form.fields]
    assert all(named)
    assert len(set(named)) == len(named)


def test_on_a_narrow_screen_every_act_stands_behind_one_button(hand):
    page = found(hand)
    hand.window.resize(683, 384)
    hand.rest()
    buttons = page.foot.buttons
    assert [name for name in buttons if not buttons[name].isVisible()] == [
        "clear", "save", "bulk", "print", "check",
    ]  # fmt: skip
    menu = page._tucked.menu()
    assert [action.text() for action in menu.actions()] == [
        "New question", "Keep search", "Write out", "As PDF", "Check everything",
    ]  # fmt: skip
    menu.actions()[2].trigger()
    assert open_dialog().folder.value().endswith("out-of-archive")
    open_dialog().reject()
    menu.deleteLater()
    hand.press(Qt.Key.Key_F, ALT)
    hand.wait(lambda: page.table.isVisible())
    assert not page.form.isVisible()
    hand.press(Qt.Key.Key_Escape)
    assert page.form.isVisible()
    assert not page.table.isVisible()
