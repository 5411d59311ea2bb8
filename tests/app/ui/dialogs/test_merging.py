from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from app.desk import Desk
from app.jobstore import Store
from app.settings import Settings
from app.ui.dialogs.frame import open_dialog
from app.ui.dialogs.merge_draft import MergeDialog
from app.ui.dialogs.questions import QuestionsDialog
from app.ui.dialogs.take_in import TakeInDialog
from tests.app.ui.desk_of_window import OpenHand

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def coming(hand: OpenHand, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A draft that another laptop worked on, while the serial number was named here too."""
    folder = tmp_path_factory.mktemp("laptop")
    job_id, desk = hand.job.job_id, hand.window.session.desk
    assert desk is not None
    desk.hand_out(job_id, folder / "out.json")
    settings = Settings.load(folder)
    settings.change(person_name_text="R. Second", organisation_text="X")
    store = Store.open(folder / "store.sqlite")
    other = Desk(store, settings)
    other.take_in(folder / "out.json")
    for its, serial in ((desk, "CT-1"), (other, "CT-2")):
        ct = its.view(job_id).job.positions[0].cts[0]
        its.set_ct(job_id, dataclasses.replace(ct, serial_text=serial))
    path = other.hand_out(job_id, folder / "back.json")
    store.close()
    return path


def merged(hand: OpenHand, path: Path) -> None:
    hand.control(Qt.Key.Key_O)
    open_dialog().take(path)
    hand.wait(lambda: isinstance(open_dialog(), MergeDialog))
    open_dialog().main.click()
    hand.wait(lambda: open_dialog() is None)
    hand.rest()


def test_before_a_merge_it_is_said_what_changes_and_that_there_is_no_way_back(hand, coming):
    hand.control(Qt.Key.Key_O)
    open_dialog().take(coming)
    hand.wait(lambda: isinstance(open_dialog(), MergeDialog))
    dialog = open_dialog()
    assert [line.text().rpartition(": ")[2] for line in dialog.lines] == ["0", "0", "1"]
    hand.press(Qt.Key.Key_Escape)
    assert isinstance(open_dialog(), TakeInDialog)
    assert hand.window.session.desk.view(hand.job.job_id).job.questions == ()


def test_a_merge_leaves_a_question_that_is_answered_with_a_reason(hand, coming):
    merged(hand, coming)
    assert "said differently" in hand.window.bar.sentence
    hand.press(Qt.Key.Key_Q, SHIFTED)
    hand.wait(lambda: isinstance(open_dialog(), QuestionsDialog))
    dialog = open_dialog()
    values = [dialog.model.index(row, 2).data() for row in range(dialog.model.rowCount())]
    assert sorted(values) == ["CT-1", "CT-2"]
    assert dialog.model.index(0, 0).data() == "Plate of S1 line L1"
    dialog.table.setCurrentIndex(dialog.model.index(values.index("CT-2"), 0))
    hand.press(Qt.Key.Key_Return)
    hand.enter("read once more")
    hand.wait(lambda: dialog.model.rowCount() == 0)
    assert hand.job.positions[0].cts[0].serial_text == "CT-2"
    assert dialog.count.text() == "No field is said differently on two computers."


def test_from_a_question_the_plate_is_one_key_away(hand, coming):
    merged(hand, coming)
    hand.press(Qt.Key.Key_Q, SHIFTED)
    hand.wait(lambda: isinstance(open_dialog(), QuestionsDialog))
    open_dialog().there.click()
    assert hand.window.page_id == "plate"


def test_a_job_that_is_frozen_here_refuses_the_merge_in_the_dialog(hand, coming):
    hand.window.session.desk.key(hand.job.job_id, _field(hand), "2.1")
    hand.window.session.desk.freeze(hand.job.job_id)
    hand.control(Qt.Key.Key_O)
    dialog = open_dialog()
    dialog.take(coming)
    hand.wait(lambda: dialog.field.reason)
    assert "Nothing was merged." in dialog.field.reason


def _field(hand):
    from app.desk import Address

    core = hand.job.positions[0].cts[0].cores[0]
    return Address(core.core_id, "resistance", 1, core.taps[0].tap_id, "r_measured_ohm")
