from __future__ import annotations

import threading

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from ctcore.takes import takes_of

ROWS = "20.0\n3.43\n80\n9.12\n160\n14.4\n"


def _texts(page, row: str) -> tuple[str, ...]:
    return next(line.texts for line in page.sheet.rows if line.row == row)


def _stored(desk, page, row: str, quantity_id: str) -> str | None:
    job = desk.view(page.view.job.job_id).job
    take = takes_of(job.readings)[(page.sheet.core.core_id, page.sheet.procedure.procedure_id)][-1]
    return take.row(row).cell(quantity_id).value_text


def test_rows_are_keyed_by_the_numeric_pad_alone(excitation, type_keys):
    type_keys(ROWS)
    assert [_texts(excitation, row)[1:3] for row in ("1", "2", "3")] == [
        ("20.0", "3.43"), ("80", "9.12"), ("160", "14.4"),
    ]  # fmt: skip


def test_the_cursor_goes_to_the_next_row_after_the_last_field(excitation, type_keys):
    type_keys("20.0\n3.43\n")
    assert (excitation.cursor_in_hand.row, excitation.cursor_in_hand.where()) == ("2", ("row", 0))


def test_an_accepted_cell_is_on_disk_before_the_cursor_is_in_the_next_field(excitation, desk, type_keys):
    type_keys("20.0\n")
    assert (_stored(desk, excitation, "1", "v_excitation_v"), excitation.cursor_in_hand.where()) == (
        "20.0", ("row", 1),
    )  # fmt: skip


def test_a_text_that_is_no_number_is_kept_and_says_why(excitation, type_keys):
    type_keys("20.0\n3o.9\n")
    line = excitation.body.table.rows.lines[1]
    assert (line.is_reason, "“3o.9” is kept, but it is no number" in line.row.reason) == (True, True)


def test_plus_in_an_empty_field_is_the_same_as_above(excitation, type_keys):
    type_keys("20.0\n3.43\n+\n")
    assert _texts(excitation, "2")[1] == "20.0"


def test_the_slash_changes_the_unit_of_this_entry_only(excitation, desk, type_keys):
    type_keys("20.0\n0.00343/\n")
    assert _stored(desk, excitation, "1", "i_excitation_a") == "0.00343"


def test_the_asterisk_says_over_range(excitation, desk, type_keys):
    type_keys("20.0\n30*\n")
    assert _texts(excitation, "1")[2].startswith(">")


def test_a_correction_is_keyed_in_the_row_gone_back_to(excitation, desk, type_keys, press):
    type_keys("20.0\n3.43\n")
    press(Qt.Key.Key_Up)
    type_keys("21.0\n")
    assert _stored(desk, excitation, "1", "v_excitation_v") == "21.0"


def test_what_is_kept_already_is_not_saved_again(excitation, desk, type_keys, press):
    type_keys("20.0\n3.43\n")
    press(Qt.Key.Key_Up)
    before = len(desk.view(excitation.view.job.job_id).job.readings)
    type_keys("\n\n")
    assert len(desk.view(excitation.view.job.job_id).job.readings) == before


def test_escape_goes_back_to_what_is_kept(excitation, desk, type_keys, press):
    type_keys("20.0\n3.43\n")
    press(Qt.Key.Key_Up)
    type_keys("99")
    press(Qt.Key.Key_Escape)
    assert QApplication.focusWidget().text() == "20.0"


def test_leaving_a_row_with_an_arrow_keeps_what_was_typed(excitation, desk, type_keys, press):
    type_keys("20.0\n3.43\n40")
    press(Qt.Key.Key_Up)
    assert (_stored(desk, excitation, "2", "v_excitation_v"), excitation.cursor_in_hand.row) == ("40", "1")


def test_undo_takes_the_last_entry_back_and_redo_brings_it_again(excitation, desk, type_keys, press):
    type_keys("20.0\n3.43\n")
    press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    gone = _stored(desk, excitation, "1", "i_excitation_a")
    press(Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    assert (gone, _stored(desk, excitation, "1", "i_excitation_a")) == (None, "0.00343")


def test_keys_typed_during_a_slow_commit_go_to_the_next_field_in_order(excitation, desk, writer, qtbot):
    gate = threading.Event()
    original = desk.store.append

    def slow(*args, **kwargs):
        gate.wait(10)
        return original(*args, **kwargs)

    desk.store.append = slow
    widget = QApplication.focusWidget()
    with qtbot.waitSignal(writer.saving):
        qtbot.keyClicks(widget, "20.0\r3.43\r80")
    shown = excitation.status.saved.text()
    gate.set()
    qtbot.waitUntil(lambda: not writer.busy and excitation.keys_held.held_count == 0)
    assert (shown, _texts(excitation, "1")[1:3], QApplication.focusWidget().text()) == (
        "Saving…", ("20.0", "3.43"), "80",
    )  # fmt: skip


def test_a_commit_that_fails_keeps_the_text_and_says_so(excitation, desk, type_keys):
    from app.jobstore import StoreProblem

    def full(*_args, **_kwargs):
        raise StoreProblem("Row 1 is not saved. The disk is full.")

    desk.store.append = full
    type_keys("20.0\n")
    assert (QApplication.focusWidget().text(), excitation.body.hint.problem) == (
        "20.0", "Row 1 is not saved. The disk is full.",
    )  # fmt: skip


def test_the_value_in_hand_is_read_back_with_its_unit_while_it_is_typed(excitation, type_keys):
    type_keys("20.0\n3.4")
    assert [said.words.replace("\u00a0", " ") for said in excitation.read_back.figures] == [
        "20.0 V",
        "3.4 mA",
    ]


def test_the_status_says_when_which_row_was_saved(excitation, type_keys):
    type_keys("20.0\n")
    assert excitation.status.saved.text().endswith(", row 1")


def test_a_sister_phase_shows_its_current_at_equal_volts(excitation, desk, cores, type_keys):
    type_keys("20.0\n3.43\n80\n9.12\n160\n14.4\n200\n16.7\n")
    excitation.open(desk.view(excitation.view.job.job_id), cores[1], "excitation")
    excitation.cursor_in_hand.focus_row(0)
    type_keys("80\n10.0\n")
    assert _texts(excitation, "1")[3:] == ("9.12", "", "+10\u00a0%")


def test_a_row_is_struck_with_a_reason_and_stays_on_the_page(excitation, qtbot, writer, type_keys, press):
    from app.ui.widgets.ask import Ask

    type_keys("20.0\n3.43\n")
    press(Qt.Key.Key_Up)
    press(Qt.Key.Key_Delete)
    ask = excitation.findChild(Ask)
    qtbot.keyClicks(ask.line, "1")
    qtbot.waitUntil(lambda: not writer.busy)
    line = next(line for line in excitation.sheet.rows if line.row == "1")
    assert (line.struck, line.fields[0].shown) == (True, "20.0")


def test_the_next_row_after_a_struck_one_has_a_new_number(excitation, qtbot, writer, type_keys, press):
    from app.ui.widgets.ask import Ask

    type_keys("20.0\n3.43\n")
    press(Qt.Key.Key_Up)
    press(Qt.Key.Key_Delete)
    qtbot.keyClicks(excitation.findChild(Ask).line, "slip")
    press(Qt.Key.Key_Enter)
    assert [line.row for line in excitation.sheet.rows] == ["1", "2"]


def test_a_value_keyed_after_an_undo_stands_alone(excitation, desk, type_keys, press):
    type_keys("20.0\n")
    press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    excitation.cursor_in_hand.focus_row(0)
    type_keys("21.0\n")
    assert (excitation.sheet.rows[0].fields[0].state, excitation.sheet.rows[0].texts[1]) == ("kept", "21.0")


def test_a_row_half_keyed_is_not_called_a_finding(excitation, type_keys):
    type_keys("20\n3.43\n80\n9.12\n160\n14.4\n200\n")
    assert "Row 4" not in excitation.body.findings.accessibleDescription()


def test_a_touch_on_another_field_keeps_what_was_typed_in_this_one(
    excitation, desk, qtbot, writer, type_keys
):
    type_keys("20.0")
    other = excitation.body.table.entry.fields[1].edit
    qtbot.mouseClick(other, Qt.MouseButton.LeftButton)
    other.setFocus(Qt.FocusReason.MouseFocusReason)
    qtbot.waitUntil(lambda: not writer.busy)
    assert _stored(desk, excitation, "1", "v_excitation_v") == "20.0"


def test_opening_another_core_keeps_what_was_typed_in_this_one(
    excitation, desk, cores, qtbot, writer, type_keys
):
    type_keys("20.0")
    excitation.open(excitation.view, cores[1], "excitation")
    qtbot.waitUntil(lambda: not writer.busy)
    excitation.open(excitation.view, cores[0], "excitation")
    assert _stored(desk, excitation, "1", "v_excitation_v") == "20.0"


def test_the_duty_of_a_relay_is_keyed_like_any_test(page, desk, acknowledged, cores, type_keys):
    page.open(desk.view(acknowledged.job_id), cores[0], "duty")
    page.cursor_in_hand.focus_row(0)
    type_keys("12000\n2\n")
    found = desk.view(acknowledged.job_id).findings[cores[0]]
    assert page.sheet.rows[0].texts[1:3] == ("12\u202f000", "2")
    assert any(one.rule == "duty.high_impedance" and "not tested yet" in one.text for one in found)


def test_the_first_enter_past_a_choice_that_must_be_stated_says_how_to_choose(
    acknowledged, page, desk, cores, type_keys
):
    page.open(desk.view(acknowledged.job_id), cores[0], "ratio")
    type_keys("\n")
    assert page.cursor_in_hand.where() == ("method", 0)
    assert page.body.hint.problem.startswith("Not stated yet")
    type_keys("\n")
    assert (page.cursor_in_hand.where()[0], page.body.hint.problem) == ("row", "")


def test_a_choice_after_the_word_of_warning_is_kept_and_the_word_goes(
    acknowledged, page, desk, cores, type_keys
):
    page.open(desk.view(acknowledged.job_id), cores[0], "ratio")
    type_keys("\nb\n")
    assert (page.body.method.lines[0].state, page.body.hint.problem) == ("kept", "")


def test_a_fresh_test_begins_at_its_first_field_and_one_that_was_begun_at_what_is_missing(
    acknowledged, page, desk, cores, type_keys
):
    page.open(desk.view(acknowledged.job_id), cores[0], "insulation")
    assert page.cursor_in_hand.where() == ("method", 0)
    assert page.body.method.lines[0].state == "empty"
    type_keys("60\n")
    page.cursor_in_hand.start()
    assert page.cursor_in_hand.where() == ("method", 1)
