from __future__ import annotations

import json

import pytest
from PySide6.QtCore import Qt

from app.settings import Settings
from app.ui.dialogs.frame import open_dialog
from app.ui.dialogs.notices import papers
from app.ui.dialogs.reason import ReasonDialog

DIALOGS = ("new_job", "take_in", "training", "add_set", "sheet", "give_out", "preferences", "notices", "find")


@pytest.mark.parametrize("verb_id", DIALOGS)
def test_escape_leaves_a_dialog_and_everything_as_it_was(hand, verb_id):
    before = hand.job
    hand.window.deeds.do(verb_id)
    hand.rest()
    dialog = open_dialog()
    assert dialog.isAncestorOf(hand.focus)
    hand.press(Qt.Key.Key_Escape)
    assert open_dialog() is None
    assert hand.job == before


def test_a_job_without_a_number_is_not_started(hand):
    hand.control(Qt.Key.Key_N)
    dialog = open_dialog()
    dialog.main.click()
    assert dialog.number.reason == "A job needs a number."
    assert dialog.isVisible()


def test_what_is_no_current_stays_in_its_field(hand):
    hand.control(Qt.Key.Key_D)
    dialog = open_dialog()
    hand.enter("S2 bus", "", "6oo", "1", "5P20", "", "", "")
    assert dialog.primary.value() == "6oo"
    assert dialog.primary.reason
    assert len(hand.job.positions) == 1


def test_a_file_that_is_no_job_is_refused_at_its_field(hand, tmp_path):
    path = tmp_path / "half.json"
    path.write_text(json.dumps({"format": "coreleaf-job"})[:-1], encoding="utf-8")
    hand.control(Qt.Key.Key_O)
    dialog = open_dialog()
    hand.enter(str(path))
    hand.wait(lambda: dialog.field.reason)
    assert dialog.field.reason.startswith("half.json")
    assert dialog.field.value() == str(path)


def test_a_job_file_goes_out_and_comes_in_again(hand, tmp_path):
    path = tmp_path / "out.json"
    hand.control(Qt.Key.Key_E)
    hand.enter(str(path))
    hand.wait(path.exists)
    hand.press(Qt.Key.Key_Escape)
    hand.control(Qt.Key.Key_O)
    hand.enter(str(path))
    hand.wait(lambda: open_dialog() is None)
    assert hand.window.bar.sentence == "This job is here already; it was opened as it stands here."


def test_a_file_that_stands_there_is_replaced_only_by_a_second_enter(hand, tmp_path):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(b"older")
    hand.press(Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    dialog = open_dialog()
    hand.enter(str(path))
    assert "stands there already" in dialog.field.reason
    assert path.read_bytes() == b"older"
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: path.read_bytes().startswith(b"%PDF"))
    hand.press(Qt.Key.Key_Escape)


def test_a_folder_that_cannot_be_written_is_said_at_the_field(hand, tmp_path):
    (tmp_path / "file").write_bytes(b"")
    hand.press(Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    dialog = open_dialog()
    hand.enter(str(tmp_path / "file" / "sheet.pdf"))
    hand.wait(lambda: dialog.field.reason)
    assert "cannot be used" in dialog.field.reason


def test_a_job_without_readings_is_not_handed_in(hand):
    hand.control(Qt.Key.Key_H)
    dialog = open_dialog()
    hand.press(Qt.Key.Key_Return)
    hand.press(Qt.Key.Key_Return)
    assert "no readings yet" in dialog.trouble.text()
    assert dialog.isVisible()


def test_a_reason_is_not_empty(hand, qtbot):
    dialog = ReasonDialog("Why?", main="Start", parent=hand.window)
    given = []
    dialog.given.connect(given.append)
    dialog.open()
    hand.rest()
    dialog.main.click()
    assert (given, dialog.field.reason) == ([], "Say why; the reason stands in the record.")
    hand.enter("relay was changed")
    assert given == ["relay was changed"]
    dialog.accept()


def test_the_first_run_asks_once_for_what_the_sheet_needs(hand, tmp_path):
    hand.window.settings.change(organisation_text="", person_name_text="")
    hand.window.deeds.ask_first()
    dialog = open_dialog()
    asked = list(dialog.answers)
    dialog.main.click()
    assert dialog.answers["organisation_text"].reason == "Every sheet needs it."
    dialog.answers["organisation_text"].line.setText("Tarnbeck Test Services")
    dialog.answers["person_name_text"].line.setText("J. Velde")
    dialog.main.click()
    hand.window.deeds.ask_first()
    assert open_dialog() is None
    assert Settings.load(tmp_path).complete()
    assert {"paper", "decimal_mark", "insulation_limit_set", "decision_rule"} < set(asked)


def test_another_name_is_another_person_in_the_records(hand):
    before = hand.window.settings.me()[0]
    hand.window.deeds.preferences()
    open_dialog().answers["person_name_text"].line.setText("T. Other")
    open_dialog().main.click()
    assert hand.window.settings.me()[1] == "T. Other"
    assert hand.window.settings.me()[0] != before


def test_find_opens_the_core_that_letters_point_to(hand):
    hand.press(Qt.Key.Key_F3)
    hand.type("l2 core")
    hand.press(Qt.Key.Key_Return)
    assert hand.window.title.cell_text("set_and_ct").startswith("S1 line, L2")


def test_the_notices_hold_changes_licence_and_third_parties():
    found = papers()
    assert list(found)[:2] == ["CHANGES", "LICENSE"]
    assert "Apache License" in found["LICENSE"]
    assert "PySide6" in found["THIRD-PARTY.md"]
    assert all(found.values())
