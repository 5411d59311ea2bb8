"""A view that fails is covered, told in words, and drawn again; the others go on and no reading is lost."""

from __future__ import annotations

import sys

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication

from app.ui import start
from app.ui.pages.board import BoardPage
from app.ui.plots.excitation import ExcitationPlot
from app.ui.shell.faults import Cover
from app.ui.shell.lettering import Line
from app.ui.worksheet.findings_panel import FindingsPanel
from app.ui.worksheet.rows_table import RowsTable
from tests.app.ui.desk_of_window import OpenHand


@pytest.fixture
def hand(qtbot, tmp_path, monkeypatch):
    made = OpenHand(qtbot, tmp_path)
    monkeypatch.setattr(sys, "excepthook", start._hook(made.window))
    made.window.resize(1366, 768)
    made.window.go_to(made.window.place[0], "excitation")
    while made.window.page("worksheet").page.body.caution.current is not None:
        made.press(Qt.Key.Key_Return)
    made.window.page("worksheet").page.cursor_in_hand.focus_row(0)
    yield made
    made.close()


def fail(*_args, **_words):
    raise RuntimeError("nothing of the user's")


def break_plot(hand, broken):
    broken.setattr(ExcitationPlot, "_drawn", fail)
    plot = hand.window.page("worksheet").page.plot
    plot._front = None
    plot.update()


def covers(hand) -> list[Cover]:
    return [cover for cover in hand.window.findChildren(Cover) if cover.isVisible()]


def covered(hand) -> Cover:
    hand.wait(lambda: covers(hand))
    return covers(hand)[0]


def kept(hand, words: str) -> bool:
    desk = hand.window.session.desk
    return words in repr(desk.view(hand.window.session.job_id).takes)


def test_a_plot_that_cannot_be_painted_is_covered_and_keying_goes_on(hand, monkeypatch, tmp_path):
    break_plot(hand, monkeypatch)
    cover = covered(hand)
    hand.enter("52.5", "30.9")
    assert "The plot could not be drawn; everything else goes on. What you keyed" in cover.words.text()
    assert kept(hand, "30.9")
    assert len(list((tmp_path / "reports").iterdir())) <= 2


def test_the_button_of_the_cover_draws_the_plot_again(hand, monkeypatch):
    with monkeypatch.context() as broken:
        break_plot(hand, broken)
        cover = covered(hand)
    cover.button.click()
    hand.rest()
    hand.wait(lambda: not covers(hand))
    assert hand.window.page("worksheet").page.plot.isVisible()


def test_a_table_that_fails_after_a_reading_loses_neither_the_reading_nor_the_page(hand, monkeypatch):
    with monkeypatch.context() as broken:
        broken.setattr(RowsTable, "show_sheet", fail)
        hand.type("52.5")
        hand.press(Qt.Key.Key_Return)
        cover = covered(hand)
    assert kept(hand, "52.5")
    cover.button.click()
    hand.rest()
    hand.wait(lambda: not covers(hand))
    assert hand.window.page("worksheet").page.sheet.rows[0].fields[0].typed == "52.5"


def test_a_page_that_fails_again_is_covered_again_and_the_board_goes_on(hand, monkeypatch):
    monkeypatch.setattr(FindingsPanel, "show_findings", fail)
    hand.type("52.5")
    hand.press(Qt.Key.Key_Return)
    covered(hand).button.click()
    hand.rest()
    covered(hand)
    hand.window.deeds.do("board")
    assert kept(hand, "52.5")
    assert (hand.window.page_id, covers(hand)) == ("board", [])


def test_a_page_that_cannot_take_a_change_leaves_the_others_to_it(hand, monkeypatch):
    hand.window.page("board")
    monkeypatch.setattr(BoardPage, "show_change", fail)
    hand.enter("52.5", "30.9")
    hand.rest()
    assert kept(hand, "30.9")
    assert hand.window.status.saved.text.startswith("Saved on this computer")


def test_what_stands_around_the_pages_is_told_once_in_the_bar(hand, monkeypatch, tmp_path):
    with monkeypatch.context() as broken:
        broken.setattr(Line, "_metrics", fail)
        hand.window.title.update()
        QApplication.processEvents()
        hand.wait(lambda: hand.window.bar.sentence)
    assert hand.window.bar.sentence.startswith("What you keyed before is saved.")
    assert len(list((tmp_path / "reports").iterdir())) <= 2


def test_an_act_that_fails_is_told_each_time(hand, tmp_path):
    QTimer.singleShot(0, fail)
    QTimer.singleShot(0, fail)
    hand.rest()
    assert len(list((tmp_path / "reports").iterdir())) == 2
