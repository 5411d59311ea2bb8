"""The pages of the office on paper, and everything in the archive checked from its page."""

from __future__ import annotations

import subprocess
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QStringListModel, Qt
from PySide6.QtWidgets import QListView, QWidget

from app.desk.limit_sets import LimitSet, SetLimit
from app.desk.registers import Template
from app.jobstore.archive import Archive
from app.ui.dialogs.frame import open_dialog
from app.ui.shell.paper import tables_of, title_of
from ctcore.job import Instrument
from tests.app.ui.archive.conftest import ALT, SHIFTED, found, opened_archive

ALTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier


def on_paper(hand, path: Path) -> str:
    """The text of the PDF that the page in hand gives."""
    hand.press(Qt.Key.Key_P, ALTED)
    dialog = open_dialog()
    assert dialog is not None, hand.window.bar.sentence
    dialog.field.line.setText(str(path))
    dialog.main.click()
    hand.wait(path.exists)
    hand.wait(lambda: open_dialog() is None)
    done = subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True, encoding="utf-8"
    )
    return done.stdout


def test_what_was_found_is_printed_with_what_was_asked(hand, tmp_path):
    found(hand, number_text="A-*")
    text = on_paper(hand, tmp_path / "found.pdf")
    assert text.startswith("Archive")
    assert ("A-1 r1" in text, "A-2 r1" in text, "2 found" in text) == (True, True, True)
    assert f"by {hand.window.settings.me()[1]}" in text
    assert hand.window.bar.sentence == "found.pdf is written."


def test_columns_that_a_small_screen_leaves_out_are_printed(hand):
    found(hand, number_text="A-*")
    hand.window.resize(683, 600)
    hand.rest()
    (table,) = hand.window.front.printed()
    assert "Site" in table.heads
    assert len(table.rows) == 2


def test_a_record_and_its_core_over_the_years_are_printed_with_their_headings(hand, tmp_path):
    found(hand, number_text="1042")
    hand.press(Qt.Key.Key_Return)
    page = hand.window.page("filed")
    hand.wait(lambda: page.opened is not None)
    assert {one.heading for one in tables_of(page)} == {
        "Cores of the record", "Results of the core in hand",
    }  # fmt: skip
    hand.press(Qt.Key.Key_Return)
    years = hand.window.page("years")
    hand.wait(lambda: years.seen is not None)
    text = on_paper(hand, tmp_path / "years.pdf")
    assert title_of(years) in text.replace("\n", " ")
    assert "Exciting current at" in text


def test_a_page_without_a_line_writes_nothing_and_says_so(hand):
    opened_archive(hand)
    hand.press(Qt.Key.Key_P, ALTED)
    assert open_dialog() is None
    assert hand.window.bar.sentence.startswith("Nothing was written")


def test_registers_are_printed_whole_whichever_list_is_open(hand, tmp_path):
    desk = hand.window.session.desk
    one = SetLimit(
        rule="resistance.limit", class_text="PX", limit_low=None, limit_high=2.4, clause_text="4.2"
    )
    for entry in (
        Instrument(instrument_id="i", name_text="Ohmmeter 3", serial_text="M-7", due_on="2031-06-30"),
        LimitSet(set_id="s", name_text="Fenmark", source_text="FG-12", set_by_text="B. R.", limits=(one,)),
        Template(template_id="t", name_text="Fenmark bay", customer_text="Fenmark Grid", set_id="s"),
    ):
        desk.register(entry)
    hand.press(Qt.Key.Key_N, SHIFTED)
    hand.rest()
    text = on_paper(hand, tmp_path / "registers.pdf")
    for words in ("M-7", "2031-06-30", "Fenmark Grid", "2.400", "4.2", "Fenmark: FG-12, set by B. R."):
        assert words in text, words


# Everything, checked


@pytest.fixture
def whole(hand, tmp_path):
    """A window over an archive of two signed records and nothing else."""
    from tests.app.jobstore.archive.conftest import file, first
    from tests.app.record.signed_scene import revision_of

    place = str(tmp_path / "whole.sqlite")
    archive = Archive.open(place)
    file(archive, first(), revision_of("1043"))
    archive.close()
    hand.window.settings.change(archive_place_text=place)
    return hand


def test_everything_is_checked_from_the_page_and_said_in_one_sentence(whole):
    page = opened_archive(whole)
    whole.press(Qt.Key.Key_K, ALT)
    assert page.foot.buttons["check"].accessibleDescription() == "is running"
    whole.wait(lambda: open_dialog() is not None)
    dialog = open_dialog()
    assert "Whole: 2 records are as they were filed" in dialog.told_text
    assert dialog.model.rowCount() == 0
    whole.press(Qt.Key.Key_Return)
    assert open_dialog() is None
    assert page.foot.buttons["check"].isEnabled()


def test_faults_are_listed_and_printed(hand, tmp_path):
    """On a computer that does not know the office no signature of the archive can be told."""
    (hand.window.settings.folder / "trust" / "office.pem").unlink()
    opened_archive(hand)
    hand.press(Qt.Key.Key_K, ALT)
    hand.wait(lambda: open_dialog() is not None)
    dialog = open_dialog()
    assert dialog.model.rowCount() >= 2
    hand.press(Qt.Key.Key_P, ALT)
    asked = open_dialog()
    asked.field.line.setText(str(tmp_path / "faults.pdf"))
    asked.main.click()
    hand.wait((tmp_path / "faults.pdf").exists)
    hand.wait(lambda: open_dialog() is dialog)
    hand.press(Qt.Key.Key_Return)


def test_the_check_is_stopped_and_says_what_it_saw_so_far(whole, monkeypatch):
    passed, go_on = threading.Event(), threading.Event()
    every = Archive.each_packed

    def slow(archive):
        for number, one in enumerate(every(archive)):
            if number == 1:
                passed.set()
                go_on.wait(10)
            yield one

    monkeypatch.setattr(Archive, "each_packed", slow)
    opened_archive(whole)
    whole.press(Qt.Key.Key_K, ALT)
    whole.wait(passed.is_set)
    whole.window.works.stop()
    go_on.set()
    whole.wait(lambda: open_dialog() is not None)
    assert "Stopped after 1 records" in open_dialog().told_text
    whole.press(Qt.Key.Key_Return)


def test_without_an_archive_and_with_one_that_is_gone_the_page_says_so(hand, tmp_path):
    page = opened_archive(hand)
    hand.window.settings.change(archive_place_text=str(tmp_path / "gone" / "archive.sqlite"))
    hand.press(Qt.Key.Key_K, ALT)
    hand.wait(lambda: page.trouble.text())
    assert "gone" in page.trouble.text()
    assert page.foot.buttons["check"].isEnabled()
    hand.window.settings.change(archive_place_text="")
    hand.press(Qt.Key.Key_K, ALT)
    assert page.trouble.text().startswith("Everything is kept here. No archive is named yet")


# Any page


class Spoken(QStringListModel):
    """A list that draws itself and tells a screen reader more than it shows."""

    def data(self, index, role=Qt.ItemDataRole.DisplayRole):
        """The line, and what is said of it."""
        said = super().data(index, Qt.ItemDataRole.DisplayRole)
        return f"refer: {said}" if role == Qt.ItemDataRole.AccessibleTextRole else super().data(index, role)


def test_a_list_without_heads_is_put_on_paper_as_it_is_spoken(qtbot):
    page = QWidget()
    qtbot.addWidget(page)
    told, hidden = QListView(page), QListView(page)
    told.setAccessibleName("Waiting")
    told.setModel(Spoken(["first", "second"], told))
    hidden.setModel(QStringListModel(["elsewhere"], hidden))
    hidden.hide()
    page.show()
    (table,) = tables_of(page)
    assert (table.heading, table.heads) == ("Waiting", ())
    assert table.rows == (("refer: first",), ("refer: second",))
