from __future__ import annotations

import zipfile

import pytest
from PySide6.QtCore import Qt

from app.desk.people_here import sit_down
from app.ui.dialogs.frame import open_dialog
from app.ui.shell.identity import become


@pytest.fixture
def others(hand):
    for name in ("M. Oster", "J. Velde"):
        hand.window.session.fetch(lambda desk, name=name: sit_down(desk, name), done=lambda _number: None)
    hand.rest()
    return hand


def ask(hand):
    hand.window.deeds.do("who")
    hand.wait(open_dialog)
    return open_dialog()


def test_arrow_and_enter_let_somebody_known_sit_down(others):
    number = {one[1]: one[0] for one in _remembered(others)}["M. Oster"]
    ask(others)
    others.press(Qt.Key.Key_Down)
    others.press(Qt.Key.Key_Return)
    assert open_dialog() is None
    assert others.window.settings.me() == (number, "M. Oster")
    assert others.window.title.who.text == "M. Oster"
    assert others.window.bar.sentence.startswith("M. Oster sits here.")


def _remembered(hand):
    from app.desk.people_here import remembered

    return remembered(hand.window.settings)


def test_letters_typed_at_once_name_another(hand):
    ask(hand)
    hand.type("B. Neumann")
    hand.press(Qt.Key.Key_Return)
    assert hand.window.title.who.text == "B. Neumann"


def test_escape_leaves_who_sits_here(others):
    ask(others)
    others.press(Qt.Key.Key_Escape)
    assert others.window.settings.me()[1] == "J. Velde"


def test_why_a_job_is_read_only_follows_who_sits_here(hand, monkeypatch):
    desk = hand.window.session.desk
    monkeypatch.setattr(
        type(desk),
        "_why_locked",
        lambda self, _its: f"read by {self.settings.me()[1]}",
    )
    become(hand.window, "M. Oster")
    hand.rest()
    assert hand.window.session.view.read_only_reason == "read by M. Oster"
    assert hand.window.page("worksheet").page.locked


def test_the_papers_for_who_helps_are_read_in_full_before_they_are_written(hand, tmp_path):
    hand.window.deeds.do("diagnostics")
    hand.wait(open_dialog)
    dialog = open_dialog()
    read = dialog.reader.toPlainText()
    assert all(one.words.rstrip("\n") in read for one in dialog.papers)
    dialog.choice.line.setText("counts.txt")
    assert dialog.reader.textCursor().block().text() == "== counts.txt =="
    dialog.main.click()
    path = tmp_path / "out.zip"
    asked = open_dialog()
    asked.field.line.setText(str(path))
    asked.main.click()
    hand.wait(path.exists)
    hand.rest()
    with zipfile.ZipFile(path) as bundle:
        assert [bundle.read(one.name).decode() for one in dialog.papers] == [
            one.words for one in dialog.papers
        ]
    assert open_dialog() is None
