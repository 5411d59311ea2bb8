"""Another size of everything: the window closes whole and comes up where it was."""

from __future__ import annotations

import json

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from app.desk import Desk
from app.display import AGAIN, INTO_TRAINING, OUT_OF_TRAINING
from app.jobstore import Store
from app.settings import Settings, training_folder
from app.ui import start, theme
from app.ui.dialogs.frame import open_dialog
from app.ui.shell import again
from app.ui.shell.session import STORE_NAME
from tests.app.ui.desk_of_window import Hand, OpenHand


@pytest.fixture
def codes(monkeypatch):
    """What the program was asked to end with; the loop of the tests goes on."""
    asked = []
    monkeypatch.setattr(again.QCoreApplication, "exit", asked.append)
    return asked


@pytest.fixture
def hand(qtbot, tmp_path, codes):
    made = OpenHand(qtbot, tmp_path)
    yield made
    made.close()
    QGuiApplication.setQuitOnLastWindowClosed(True)


def dismiss_cautions(hand):
    while hand.window.page("worksheet").page.body.caution.current is not None:
        hand.press(Qt.Key.Key_Return)
    hand.window.page("worksheet").page.cursor_in_hand.focus_row(0)


def test_larger_keeps_what_stands_typed_and_writes_the_place(hand, tmp_path, codes):
    hand.window.deeds.do("plate")
    hand.window.go_to(hand.window.place[0], "excitation")
    dismiss_cautions(hand)
    hand.type("520")
    hand.window.deeds.do("larger")
    hand.wait(lambda: codes)
    assert open_dialog() is None
    place = json.loads(Settings.load(tmp_path).get("place"))
    assert (codes, hand.window.isVisible()) == ([AGAIN], False)
    assert Settings.load(tmp_path).get("size_percent") == "125"
    assert (place["page_id"], place["procedure_id"]) == ("worksheet", "excitation")
    store = Store.open(tmp_path / STORE_NAME)
    assert "520" in repr(Desk(store, hand.window.settings).open_job(place["job_id"]).takes)
    store.close()


def test_the_window_that_comes_anew_stands_where_the_first_one_stood(hand, qtbot, tmp_path):
    hand.window.go_to(hand.window.place[0], "excitation")
    before = hand.window.place
    hand.window.deeds.do("plate")
    hand.window.deeds.do("larger")
    second = Hand(qtbot, tmp_path)
    place = again.take_place(second.window.settings)
    second.window.session.opened.connect(lambda: again.go_back_to(second.window, place))
    second.open_store()
    second.wait(lambda: second.window.page_id == "plate")
    second.rest()
    assert second.window.place == before
    assert second.window.settings.get("place") == ""
    second.close()


def test_the_last_size_says_so_and_the_window_stays(hand):
    hand.window.deeds.do("smaller")
    assert hand.window.bar.sentence.endswith("100 %.")
    assert hand.window.isVisible()


def test_a_place_that_cannot_be_read_is_no_place(tmp_path):
    settings = Settings.load(tmp_path)
    settings.change(place="{")
    assert again.take_place(settings) == {}
    assert settings.get("place") == ""


def test_the_size_goes_on_top_of_what_the_desktop_asks_for(tmp_path, monkeypatch):
    monkeypatch.setattr(start.QApplication, "instance", lambda: None)
    monkeypatch.setenv("QT_SCALE_FACTOR", "1.5")
    settings = Settings.load(tmp_path)
    settings.change(size_percent="200")
    start._scale(settings)
    assert start.os.environ["QT_SCALE_FACTOR"] == "3"


def test_the_theme_of_the_system_follows_the_desktop_while_the_window_is_open(hand, monkeypatch):
    hand.window.settings.change(theme="system")
    monkeypatch.setattr(theme, "desktop_is_dark", lambda: True)
    hand.window.deeds.follow_system()
    assert theme.current().palette is theme.NIGHT


def test_a_theme_that_was_chosen_stays_whatever_the_desktop_does(hand, monkeypatch):
    hand.window.settings.change(theme="day")
    monkeypatch.setattr(theme, "desktop_is_dark", lambda: True)
    hand.window.deeds.follow_system()
    assert theme.current().palette is theme.DAY


def test_what_its_field_refuses_is_asked_about_first_and_escape_keeps_the_window(hand, codes):
    hand.window.deeds.do("plate")
    page = hand.window.page("plate")
    field = page.form.by_key[next(key for key in page.form.by_key if key[1] == "class_text")]
    field.line.setFocus()
    field.line.selectAll()
    hand.type("5P20 FS5 15 VA")
    hand.window.deeds.do("larger")
    hand.wait(open_dialog)
    open_dialog().reject()
    assert (codes, hand.window.isVisible(), field.line.text()) == ([], True, "5P20 FS5 15 VA")


def test_training_is_entered_and_left_by_its_own_codes(hand, qtbot, tmp_path, codes):
    hand.window.deeds.do("practice")
    trained = Hand(qtbot, training_folder(tmp_path))
    trained.window.deeds.do("practice")
    assert codes == [INTO_TRAINING, OUT_OF_TRAINING]
    assert Settings.load(tmp_path).get("place") == ""
    trained.close()


def test_a_window_that_was_killed_is_found_again_where_it_stood(hand, qtbot, tmp_path):
    hand.window.go_to(hand.window.place[0], "resistance")
    hand.window.keeper.write()
    left = again.left_behind(hand.window.settings)
    hand.close()
    second = Hand(qtbot, tmp_path)
    second.window.session.opened.connect(lambda: again.go_back_to(second.window, left))
    second.open_store()
    second.wait(lambda: second.window.page_id == "worksheet")
    second.rest()
    assert second.window.place == (left["core_id"], "resistance")
    second.close()


def test_a_window_that_ends_by_itself_leaves_no_place_behind(hand):
    hand.window.keeper.write()
    assert again.left_behind(hand.window.settings)
    hand.close()
    assert again.left_behind(hand.window.settings) == {}


def test_a_window_that_only_looks_writes_no_place(hand, qtbot, tmp_path):
    hand.window.keeper.write()
    before = again.left_behind(hand.window.settings)
    second = Hand(qtbot, tmp_path)
    second.open_store()
    second.window.keeper.note()
    second.close()
    assert again.left_behind(hand.window.settings) == before
