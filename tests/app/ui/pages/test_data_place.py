from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app import place
from app.settings import Settings
from app.ui.dialogs.frame import open_dialog
from tests.app.ui.desk_of_window import Hand

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("CORELEAF_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def page(home, hand):
    hand.press(Qt.Key.Key_H, SHIFTED)
    made = hand.window.page("data_place")
    hand.wait(lambda: made.model.rowCount())
    return made


@pytest.fixture
def again(monkeypatch):
    asked = []
    monkeypatch.setattr("app.ui.dialogs.move_data.start_again", asked.append)
    return asked


def words(page, row):
    return [page.model.index(row, column).data() for column in (0, 1)]


def test_every_kind_of_data_stands_with_its_path(page, home):
    assert page.folder.text == f"Everything lies in {home}"
    assert words(page, 0) == ["Jobs, readings and trail", str(home / "store.sqlite")]
    assert ["Copies", f"{home / 'copies'} (none yet)"] in [
        words(page, row) for row in range(page.model.rowCount())
    ]


def test_a_path_is_copied(page, hand, home):
    hand.press(Qt.Key.Key_C, Qt.KeyboardModifier.AltModifier)

    assert QApplication.clipboard().text() == str(home / "store.sqlite")
    assert page.trouble.text() == f"The path was copied: {home / 'store.sqlite'}"


def test_enter_opens_the_folder_of_the_line(page, hand, home, monkeypatch):
    opened = []
    monkeypatch.setattr(
        "app.ui.pages.data_place.QDesktopServices.openUrl",
        lambda url: opened.append(url.toLocalFile()) or True,
    )
    hand.press(Qt.Key.Key_Return)

    assert opened == [str(home)]


def test_a_system_that_opens_no_folder_is_said_with_what_to_do(page, hand, home, monkeypatch):
    monkeypatch.setattr("app.ui.pages.data_place.QDesktopServices.openUrl", lambda _url: False)
    hand.press(Qt.Key.Key_Return)

    assert page.trouble.text() == f"The system did not open {home}. Copy the path and open it yourself."


def test_everything_is_moved_and_the_window_opens_anew_there(page, hand, home, again, tmp_path_factory):
    target = tmp_path_factory.mktemp("other") / "data"
    hand.press(Qt.Key.Key_M, Qt.KeyboardModifier.AltModifier)
    hand.enter(str(target))
    hand.wait(lambda: again)

    assert open_dialog() is None
    assert place.data_folder() == hand.window.settings.folder == target
    assert Settings.load(target).get("person_name_text") == "J. Velde"
    assert (target / "store.sqlite").read_bytes() == (home / "store.sqlite").read_bytes()


def test_a_folder_that_is_not_taken_is_said_at_its_field_and_asked_again(page, hand, home, again):
    hand.press(Qt.Key.Key_M, Qt.KeyboardModifier.AltModifier)
    hand.enter(str(home / "inner"))
    dialog = open_dialog()
    hand.wait(lambda: dialog.field.reason)

    assert "it lies within the present one, or holds it" in dialog.field.reason
    assert (dialog.field.value(), again, dialog.main.isEnabled()) == (str(home / "inner"), [], True)
    dialog.reject()


def test_a_synchronised_folder_is_warned_of_once_and_taken_when_asked_again(
    page, hand, again, tmp_path_factory
):
    target = tmp_path_factory.mktemp("other") / "Sync"
    hand.press(Qt.Key.Key_M, Qt.KeyboardModifier.AltModifier)
    hand.enter(str(target))
    dialog = open_dialog()
    hand.wait(lambda: dialog.field.reason)
    assert dialog.field.reason.endswith("Enter once more moves it there all the same.")
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: again)

    assert place.data_folder() == target


def test_what_belongs_to_a_sample_is_not_moved(hand, tmp_path_factory, monkeypatch):
    monkeypatch.setenv("CORELEAF_HOME", str(tmp_path_factory.mktemp("elsewhere")))
    hand.press(Qt.Key.Key_H, SHIFTED)
    page = hand.window.page("data_place")
    hand.wait(lambda: page.model.rowCount())

    assert not page.foot.buttons["move"].isEnabled()
    assert page.trouble.text().startswith("This folder belongs to a sample or to training")


def test_where_the_device_of_the_data_is_gone_the_window_says_so_and_begins_nothing(
    qtbot, tmp_path, monkeypatch
):
    home, stick = tmp_path / "home", tmp_path / "stick"
    monkeypatch.setenv("CORELEAF_HOME", str(home))
    home.mkdir()
    stick.mkdir()
    place.put_signpost(stick)
    hand = Hand(qtbot, stick)
    (stick / place.MARK).unlink()
    hand.window.session.open_store(stick)
    hand.wait(lambda: hand.window.bar.isVisible())

    assert f"Your data was moved to {stick}, and that folder is not there" in hand.window.bar.sentence
    assert hand.window.session.desk is None
    assert not (stick / "store.sqlite").exists()
    hand.close()
