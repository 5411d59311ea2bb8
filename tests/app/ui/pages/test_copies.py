from __future__ import annotations

import dataclasses
from datetime import UTC, datetime

import pytest
from PySide6.QtCore import Qt

from app.desk.copies import CopyKeeper
from app.desk.seen import Memory
from app.jobstore import Store, space
from app.settings import Settings
from app.ui.dialogs.frame import open_dialog
from app.ui.shell.lettering import Words
from tests.app.ui.desk_of_window import Hand, OpenHand, make_job

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def page(hand):
    hand.press(Qt.Key.Key_Y, SHIFTED)
    made = hand.window.page("copies")
    hand.wait(lambda: made.last.text())
    return made


def copied(hand, page):
    page.make()
    hand.wait(lambda: page.model.rowCount() == 1)


def test_without_a_copy_the_page_says_so(hand, page):
    assert page.last.text() == "No copy yet."
    assert page.away.text() == "No copy on another device yet: name a folder there in the preferences."
    assert not page.foot.buttons["bring_back"].isEnabled()


def test_a_copy_is_made_and_said_at_the_foot_while_the_window_goes_on(hand, page):
    copied(hand, page)
    assert page.last.text().startswith("Last copy checked ")
    assert "copy " in hand.window.status.saved.text
    assert "none elsewhere yet" in hand.window.status.saved.text
    assert page.foot.buttons["bring_back"].isEnabled()


def test_a_copy_brought_back_stands_beside_the_store_and_enter_stays_with_that(hand, page):
    copied(hand, page)
    page.table.setFocus()
    hand.press(Qt.Key.Key_Return)
    hand.wait(open_dialog)
    said = [label.text() for label in open_dialog().findChildren(Words)]
    assert "Nothing that the other lacks." in said
    hand.press(Qt.Key.Key_Return)
    assert open_dialog() is None
    assert hand.window.settings.get("store_name_text") == "store.sqlite"


def test_the_one_brought_back_is_worked_on_when_that_is_chosen(hand, page, monkeypatch):
    again = []
    monkeypatch.setattr("app.ui.dialogs.brought_back.start_again", again.append)
    copied(hand, page)
    page.bring_back()
    hand.wait(open_dialog)
    open_dialog().use.click()
    hand.wait(lambda: again)
    assert hand.window.settings.get("store_name_text").startswith("store-brought-back-")


def test_a_copy_that_is_gone_is_said_on_the_page(hand, page):
    copied(hand, page)
    page.model.line(0).path.unlink()
    page.bring_back()
    hand.wait(lambda: page.trouble.text())
    assert "Connect the device that it lies on." in page.trouble.text()


def test_a_step_that_was_signed_is_copied_at_once_and_a_change_half_an_hour_later(hand):
    copier, view = hand.window.copier, hand.window.session.view
    assert view is not None
    from app.desk import Change

    copier.note_change(Change(view=view, saved_at_text="08:42"))
    assert copier._due.remainingTime() > 25 * 60 * 1000
    handed = dataclasses.replace(view, job=dataclasses.replace(view.job, state="handed_in"))
    copier.note_change(Change(view=handed, saved_at_text="08:43"))
    hand.wait(lambda: "copy " in hand.window.status.saved.text)
    assert not copier._due.isActive()


def test_at_the_end_a_copy_is_made_where_one_is_due(qtbot, tmp_path):
    hand = OpenHand(qtbot, tmp_path)
    hand.close()
    keeper = CopyKeeper(Settings.load(tmp_path))
    assert len(keeper.view().lines) == 1
    assert not keeper.due()


def test_before_a_job_is_taken_in_a_copy_is_made(hand, tmp_path):
    path = tmp_path / "coming.json"
    hand.window.session.desk.export_job(hand.job.job_id, path)
    hand.control(Qt.Key.Key_O)
    open_dialog().take(path)
    hand.wait(lambda: open_dialog() is None)
    assert len(CopyKeeper(Settings.load(tmp_path)).view().lines) == 1


def test_an_older_store_in_the_place_of_a_newer_one_is_said_at_the_start(qtbot, tmp_path):
    make_job(tmp_path)
    older = (tmp_path / "store.sqlite").read_bytes()
    store = Store.open(tmp_path / "store.sqlite")
    heads = [dataclasses.replace(one, n=one.n + 3) for one in store.heads()]
    store.close()
    Memory(tmp_path / "profile").keep_heads(heads, datetime(2031, 5, 4, tzinfo=UTC))
    hand = Hand(qtbot, tmp_path)
    hand.open_store()
    assert "This store is older than one seen here on 4 May 2031" in hand.window.bar.sentence
    assert (tmp_path / "store.sqlite").read_bytes() == older
    hand.close()


def test_beside_a_store_that_cannot_be_read_the_newest_copy_is_named_and_brought_back(qtbot, tmp_path):
    make_job(tmp_path)
    CopyKeeper(Settings.load(tmp_path)).make()
    (tmp_path / "store.sqlite").write_bytes(b"rotten" * 5000)
    hand = Hand(qtbot, tmp_path)
    hand.window.session.open_store(tmp_path)
    hand.wait(lambda: "bring it back under Copies" in hand.window.bar.sentence)
    hand.window.deeds.do("copies")
    page = hand.window.page("copies")
    hand.wait(lambda: page.model.rowCount() == 1)
    page.bring_back()
    hand.wait(open_dialog)
    assert "It can't be read at the moment." in [label.text() for label in open_dialog().findChildren(Words)]
    open_dialog().accept()
    hand.close()


def test_a_full_disk_is_said_and_the_reserve_is_held(hand, tmp_path, monkeypatch):
    monkeypatch.setattr(space, "words", lambda _store: "Everything saved is safe. The disk is full.")
    hand.window.copier._look_around()
    hand.wait(lambda: hand.window.bar.sentence == "Everything saved is safe. The disk is full.")
    assert space.reserve_of(tmp_path / "store.sqlite").exists()
    hand.window.bar.clear()
    hand.window.copier._tell_space("Everything saved is safe. The disk is full.")
    assert hand.window.bar.sentence == ""


def test_a_window_that_may_only_read_brings_no_job_in_and_says_why(hand, qtbot, tmp_path):
    second = Hand(qtbot, tmp_path)
    second.open_store()
    assert second.window.bar.sentence.startswith(
        "You can look here, not write. This store is already open in another window"
    )
    buttons = second.window.jobs.buttons
    assert not any(buttons[name].isEnabled() for name in ("new_job", "take_in", "training"))
    assert buttons["open"].isEnabled()
    second.window.bar.clear()
    second.control(Qt.Key.Key_N)
    assert open_dialog() is None
    assert second.window.bar.sentence.startswith("You can look here, not write.")
    second.close()


@pytest.fixture
def without_store(qtbot, tmp_path):
    make_job(tmp_path)
    CopyKeeper(Settings.load(tmp_path)).make()
    (tmp_path / "store.sqlite").unlink()
    hand = Hand(qtbot, tmp_path)
    hand.window.session.open_store(tmp_path)
    hand.wait(open_dialog)
    assert not (tmp_path / "store.sqlite").exists()
    yield hand
    hand.close()


def test_a_store_that_was_deleted_is_told_at_the_start_and_enter_brings_its_copy_back(without_store):
    hand = without_store
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: hand.window.session.desk is not None)
    hand.rest()
    assert hand.window.bar.sentence.startswith("The copy of ")
    assert hand.window.settings.get("store_name_text").startswith("store-brought-back-")
    assert len(hand.window.session.desk.jobs()) == 1


def test_in_place_of_a_store_that_was_deleted_an_empty_one_is_begun_where_that_is_asked(without_store):
    hand = without_store
    open_dialog().anew.click()
    hand.wait(lambda: hand.window.session.desk is not None)
    hand.rest()
    assert hand.window.session.desk.jobs() == []


def test_beside_a_store_that_was_deleted_the_copies_are_looked_at_and_it_stays_so(without_store, tmp_path):
    hand = without_store
    open_dialog().look.click()
    page = hand.window.page("copies")
    hand.wait(lambda: page.model.rowCount() == 1)
    assert hand.window.page_id == "copies"
    assert "The newest copy that was checked" in hand.window.bar.sentence
    assert not (tmp_path / "store.sqlite").exists()


def test_soon_after_the_start_what_the_last_run_left_uncopied_is_copied(hand, tmp_path):
    hand.window.copier._look_around()
    hand.wait(lambda: CopyKeeper(Settings.load(tmp_path)).view().lines)
    hand.wait(lambda: "copy " in hand.window.status.saved.text)


def test_a_device_connected_while_the_window_stands_gets_its_copy(hand, tmp_path):
    stick = tmp_path / "stick"
    hand.window.settings.change(copies_folder_text=str(stick))
    hand.window.copier._look_around()
    hand.wait(lambda: CopyKeeper(Settings.load(tmp_path)).view().lines)
    hand.wait(lambda: "that folder is not there" in hand.window.bar.sentence)
    stick.mkdir()
    hand.window.copier._look_around()
    hand.wait(lambda: list(stick.rglob("0*.sqlite")))
