from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.desk import Desk
from app.jobstore import Store
from app.settings import Settings
from app.ui.shell.session import STORE_NAME
from tests.app.ui.desk_of_window import OpenHand, make_job

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def shared(tmp_path_factory):
    return tmp_path_factory.mktemp("shared")


def opened(hand: OpenHand, shared):
    hand.window.settings.change(exchange_folder_text=str(shared))
    hand.press(Qt.Key.Key_X, SHIFTED)
    return hand.window.page("exchange")


def left_by_a_laptop(folder, shared) -> str:
    job_id = make_job(folder)
    settings = Settings.load(folder)
    settings.change(exchange_folder_text=str(shared), person_name_text="R. Second")
    store = Store.open(folder / STORE_NAME)
    Desk(store, settings).send_to_folder(job_id)
    store.close()
    return job_id


def test_without_a_folder_the_page_says_what_to_name(hand):
    hand.press(Qt.Key.Key_X, SHIFTED)
    page = hand.window.page("exchange")
    assert page.state.text() == "No folder is named; name it in the preferences."
    assert not page.foot.buttons["send"].isEnabled()


def test_what_a_laptop_left_is_taken_in_and_put_away(hand, shared, tmp_path_factory):
    job_id = left_by_a_laptop(tmp_path_factory.mktemp("laptop"), shared)
    page = opened(hand, shared)
    hand.wait(lambda: page.model.rowCount() == 1)
    assert page.model.index(0, 2).data() == "still being copied"
    page.look()
    hand.wait(lambda: page.model.index(0, 2).data() == "ready")
    assert "exchange folder: 1 file" in hand.window.status.saved.text

    page.take_in()
    hand.wait(lambda: hand.job.job_id == job_id)
    hand.wait(lambda: page.model.rowCount() == 0)
    assert len(list((shared / "taken").iterdir())) == 1


def test_a_job_of_this_computer_is_left_there_by_one_key(hand, shared):
    page = opened(hand, shared)
    page.send()
    hand.wait(lambda: list(shared.glob("J-77 *.json")))
    hand.wait(lambda: "Written to the exchange folder" in hand.window.bar.sentence)


def test_a_folder_that_vanishes_is_one_sentence_and_no_box(hand, shared):
    page = opened(hand, shared)
    hand.wait(lambda: page.state.text())
    shared.rmdir()
    page.look()
    hand.wait(lambda: page.trouble.text())
    assert "connect the share or the stick" in page.trouble.text()


def test_what_is_refused_stays_with_the_reason_beside_it(hand, shared):
    from app.record import signed_job
    from app.record.signed_job import SignedJob

    data = signed_job.to_bytes(SignedJob(record=b"{}", tested=b"nobody"))
    (shared / "strange.json").write_bytes(data)
    page = opened(hand, shared)
    hand.wait(lambda: page.model.rowCount() == 1)
    page.look()
    hand.wait(lambda: page.model.index(0, 2).data() == "ready")
    page.take_in()
    hand.wait(lambda: page.said.text())
    assert page.model.index(0, 2).data() == page.said.text() != "ready"
    assert (shared / "strange.json").read_bytes() == data
