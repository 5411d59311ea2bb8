from __future__ import annotations

import dataclasses

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QWidget

from app.ui.dialogs.readings_in import ReadingsDialog
from app.ui.worksheet.caution import CautionBox, CautionLine


def test_an_unread_caution_has_the_focus_first_and_enter_reads_it(page, desk, job, cores, press):
    page.open(desk.view(job.job_id), cores[0], "resistance")
    before = page.body.caution.current.caution_id
    press(Qt.Key.Key_Enter)
    assert (before, page.body.caution.current.caution_id) == (
        "resistance.interrupting",
        "resistance.magnetised",
    )


def test_a_read_caution_is_a_band_with_name_and_time(page, desk, job, cores, press):
    page.open(desk.view(job.job_id), cores[0], "resistance")
    press(Qt.Key.Key_Enter)
    press(Qt.Key.Key_Enter)
    assert page.body.caution.current is None
    assert page.body.caution.height() in (46, 66)
    assert "T.A. " in page.body.caution.accessibleDescription()


def test_the_caution_blocks_nothing(page, desk, job, cores, type_keys):
    page.open(desk.view(job.job_id), cores[0], "excitation")
    page.cursor_in_hand.focus_row(0)
    type_keys("20\n")
    assert page.sheet.rows[0].texts[1] == "20"


def test_the_cursor_starts_in_the_first_method_field_that_must_be_stated(page, desk, acknowledged, cores):
    page.open(desk.view(acknowledged.job_id), cores[0], "resistance")
    assert page.cursor_in_hand.where() == ("method", 0)


def test_a_choice_is_made_by_its_number_and_kept_by_enter(page, desk, acknowledged, cores, type_keys):
    page.open(desk.view(acknowledged.job_id), cores[0], "resistance")
    type_keys("2\n")
    assert page.sheet.method[0].shown == "two-wire, lead subtracted"


def test_a_field_that_an_answer_asks_for_comes_next(page, desk, acknowledged, cores, type_keys):
    page.open(desk.view(acknowledged.job_id), cores[0], "resistance")
    type_keys("2\n")
    _field, line = page.cursor_in_hand.field_here()
    assert line.quantity.quantity_id == "r_lead_ohm"


def test_an_answer_of_a_sister_is_offered_and_kept_only_by_enter(page, desk, acknowledged, cores, type_keys):
    page.open(desk.view(acknowledged.job_id), cores[0], "resistance")
    type_keys("1\n")
    page.open(page.view, cores[1], "resistance")
    offered = page.sheet.method[0].state
    type_keys("\n")
    assert (offered, page.sheet.method[0].state) == ("repeated", "kept")


def test_a_whole_resistance_test_needs_the_numeric_pad_alone(page, desk, acknowledged, cores, type_keys):
    page.open(desk.view(acknowledged.job_id), cores[0], "resistance")
    type_keys("1\n11.0\n1\n2.088\n0.1\n20\n")
    assert page.sheet.rows[0].verdict in ("within", "refer")


def test_findings_stand_worst_first(excitation, type_keys):
    type_keys("20\n3.43\n80\n9.12\n160\n14.4\n")
    order = ["outside", "refer", "not tested", "within", "not applicable"]
    ranks = [order.index(line.verdict) for line in excitation.body.findings.findings.lines]
    assert ranks == sorted(ranks)


def test_page_down_goes_to_the_next_step(page, desk, acknowledged, cores, press):
    page.open(desk.view(acknowledged.job_id), cores[0], "insulation")
    press(Qt.Key.Key_PageDown)
    assert page.sheet.procedure.procedure_id == "resistance"


def test_alt_and_a_number_opens_that_step(page, desk, acknowledged, cores, press):
    page.open(desk.view(acknowledged.job_id), cores[0], "insulation")
    press(Qt.Key.Key_4, Qt.KeyboardModifier.AltModifier)
    assert page.sheet.procedure.procedure_id == "excitation"


def test_alt_and_right_opens_the_same_step_of_the_next_phase(excitation, cores, press):
    press(Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    assert (excitation.sheet.core.core_id, excitation.sheet.procedure.procedure_id) == (
        cores[1],
        "excitation",
    )


def test_a_pasted_block_is_looked_at_then_kept_in_one_act(excitation, qtbot, writer, press):
    QGuiApplication.clipboard().setText("20\t3.43\n80\t9.12\n160\t14.4x\n")
    press(Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    dialog = excitation.findChild(ReadingsDialog)
    refused = dialog.preview.refused_count
    qtbot.keyClick(dialog, Qt.Key.Key_Enter)
    qtbot.waitUntil(lambda: not writer.busy)
    assert (refused, [row.texts[1:3] for row in excitation.sheet.rows[:3]]) == (
        1, [("20", "3.43"), ("80", "9.12"), ("160", "")],
    )  # fmt: skip


def test_a_pasted_block_that_is_left_changes_nothing(excitation, qtbot, press):
    QGuiApplication.clipboard().setText("20\t3.43\n80\t9.12\n")
    press(Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(excitation.findChild(ReadingsDialog), Qt.Key.Key_Escape)
    assert excitation.sheet.take.rows == ()


def test_the_plot_shows_what_was_kept(excitation, qtbot, type_keys):
    qtbot.waitUntil(lambda: excitation.plot is not None)
    type_keys("20\n3.43\n80\n9.12\n")
    assert len(excitation.plot.content.in_hand.points) == 2


def test_a_frozen_job_takes_no_keys_and_says_why(page, desk, acknowledged, cores, monkeypatch, press):
    import dataclasses

    view = dataclasses.replace(
        desk.view(acknowledged.job_id), read_only_reason="This revision is issued and frozen."
    )
    page.open(view, cores[0], "excitation")
    press(Qt.Key.Key_Enter)
    assert (page.cursor_in_hand.where()[0], page.status.middle.text()) == (
        "page", "This revision is issued and frozen.",
    )  # fmt: skip


def test_taking_again_opens_a_second_take_beside_the_first(excitation, qtbot, writer, type_keys, press):
    from app.ui.widgets.ask import Ask

    type_keys("20\n3.43\n")
    press(Qt.Key.Key_U, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(excitation.findChild(Ask).line, "4")
    qtbot.waitUntil(lambda: not writer.busy)
    assert (excitation.sheet.take_number, excitation.sheet.take_numbers) == (2, (1, 2))


def test_every_field_has_a_name_for_a_screen_reader(excitation):
    fields = [*excitation.body.method.fields, *excitation.body.table.entry.fields]
    assert all(field.edit.accessibleName() for field in fields)


@pytest.mark.parametrize("size", [(1150, 588), (1150, 648), (1704, 960), (683, 384)])
def test_fields_lie_within_the_page_and_over_no_other(excitation, size, qapp):
    excitation.resize(*size)
    qapp.processEvents()
    fields = [field for field in excitation.body.method.fields if field.isVisible()]
    boxes = [QRect(field.mapTo(excitation.body.widget(), QPoint(0, 0)), field.size()) for field in fields]
    inside = excitation.body.widget().rect()
    assert all(inside.contains(box) for box in boxes)
    assert not any(a.intersects(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])


def test_the_focus_is_never_on_a_hidden_widget(excitation, press):
    press(Qt.Key.Key_F6)
    assert QApplication.focusWidget().isVisible()


def test_the_main_button_reads_the_caution_while_that_has_the_focus(page, desk, job, cores, qtbot, writer):
    page.open(desk.view(job.job_id), cores[0], "resistance")
    words = page.buttons["keep"].text()
    qtbot.mouseClick(page.buttons["keep"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not writer.busy)
    assert (words, page.body.caution.current.caution_id) == ("I have read this", "resistance.magnetised")


def test_the_band_of_a_test_without_volts_names_no_volts(page, desk, job, cores, press):
    from app.ui.worksheet.cautions import band_text

    page.open(desk.view(job.job_id), cores[0], "resistance")
    assert band_text(page.sheet) == ""


def test_the_band_names_the_highest_volts_and_those_on_the_primary(excitation, type_keys):
    from app.ui.worksheet.cautions import band_text

    type_keys("300\n20\n")
    said = band_text(excitation.sheet).replace("\u00a0", " ")
    assert said == "Up to 300 V at 1S1-1S2 and 0.50 V on the primary."


def test_the_main_button_keeps_what_stands_in_the_field_and_leaves_the_focus_there(excitation, qtbot, writer):
    qtbot.keyClicks(QApplication.focusWidget(), "20.0")
    qtbot.mouseClick(excitation.buttons["keep"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not writer.busy)
    assert (excitation.sheet.rows[0].texts[1], excitation.cursor_in_hand.where()) == ("20.0", ("row", 1))


def test_a_touch_on_a_row_takes_it_in_hand(excitation, qtbot, type_keys):
    type_keys("20.0\n3.43\n")
    table = excitation.body.table
    middle = table.visualRect(table.rows.index(0, 1)).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=middle)
    assert (excitation.cursor_in_hand.row, excitation.cursor_in_hand.where()) == ("1", ("row", 0))


def _curve_of_five(type_keys):
    type_keys("20\n3.43\n80\n9.12\n160\n14.4\n240\n20.1\n300\n90\n")


def test_a_slip_of_the_point_is_noticed_with_an_offer(excitation, qtbot, type_keys):
    _curve_of_five(type_keys)
    excitation.cursor_in_hand.travel.choose_row("3")
    excitation.cursor_in_hand.focus_row(1)
    type_keys("144\n")
    qtbot.waitUntil(lambda: excitation.body.findings.chosen_offer() is not None)
    line = next(line for line in excitation.body.findings.findings.lines if line.offer)
    assert line.row == "3"
    assert line.standing.startswith("Ctrl+K: Key exciting current of 1 row 10 times")


def test_the_offer_is_taken_by_one_key_and_undone_by_one(excitation, qtbot, type_keys, press):
    _curve_of_five(type_keys)
    excitation.cursor_in_hand.travel.choose_row("3")
    excitation.cursor_in_hand.focus_row(1)
    type_keys("144\n")
    qtbot.waitUntil(lambda: excitation.body.findings.chosen_offer() is not None)
    press(Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    taken = excitation.sheet.rows[2].texts[2]
    press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert (taken, excitation.sheet.rows[2].texts[2]) == ("14.4", "144")


def test_without_an_offer_the_key_says_so(excitation, press, type_keys):
    type_keys("20\n3.43\n")
    press(Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    assert excitation.body.hint.text() == "Nothing is offered here to be keyed."


def test_f1_tells_meaning_formula_and_source_of_the_field_in_hand(excitation, press):
    excitation.cursor_in_hand.focus_row(1)
    press(Qt.Key.Key_F1)
    words = excitation.body.hint.text()
    assert words.startswith("Exciting current, mA. ")
    assert "Formula: composite error" in words
    assert "Source: IEC 61869-2:2012, 3.4.203." in words


def test_the_second_f1_is_left_to_the_window(excitation, press):
    excitation.cursor_in_hand.focus_row(1)
    press(Qt.Key.Key_F1)
    assert QApplication.focusWidget().helped


def test_another_field_has_a_help_of_its_own(excitation, press, type_keys):
    press(Qt.Key.Key_F1)
    type_keys("20\n")
    assert not QApplication.focusWidget().helped


def _name_instrument(desk, job, core_id):
    from app.desk import Address
    from ctcore.job import Instrument

    meter = Instrument(instrument_id="m1", name_text="bench ammeter", serial_text="0422", response="true_rms")
    desk.set_instrument(job.job_id, meter)
    address = Address(core_id, "excitation", 1, "1", "i_excitation_a")
    desk.key(job.job_id, address, "3.43", instrument_id="m1")


def test_the_instrument_that_reads_a_column_stands_in_its_head(page, desk, acknowledged, cores):
    _name_instrument(desk, acknowledged, cores[0])
    page.open(desk.view(acknowledged.job_id), cores[0], "excitation")
    heads = [page.body.table.rows.headerData(at, Qt.Orientation.Horizontal) for at in (1, 2)]
    assert heads == ["Volts, V", "Current, mA\n0422"]


def test_a_retest_has_the_old_result_beside_it(page, desk, acknowledged, cores, type_keys):
    from app.desk import Address

    job_id, core_id = acknowledged.job_id, cores[0]
    address = Address(core_id, "insulation", 1, "secondary_earth", "insulation_resistance_ohm")
    desk.key(job_id, address, "40")
    desk.new_take(job_id, core_id, "insulation", "doubtful contact")
    page.open(desk.view(job_id), core_id, "insulation")
    column = [column.kind for column in page.sheet.columns].index("before")
    heading = page.sheet.columns[column].heading.replace("\u00a0", " ")
    assert (heading, page.sheet.rows[0].texts[column]) == ("Take 1, MΩ", "40")


def test_an_earlier_take_of_a_curve_stays_on_the_plot(excitation, desk, cores, type_keys):
    type_keys("20\n3.43\n80\n9.12\n160\n14.4\n")
    change = desk.new_take(excitation.view.job.job_id, cores[0], "excitation", "magnetised")
    excitation.open(change.view, cores[0], "excitation")
    assert [(curve.kind, curve.words) for curve in excitation.plot.content.curves] == [
        ("previous", "take 1"),
        ("hand", "L1, being keyed"),
    ]


def test_a_reading_that_a_notice_puts_in_doubt_is_marked(excitation, qtbot, type_keys):
    _curve_of_five(type_keys)
    excitation.cursor_in_hand.travel.choose_row("3")
    excitation.cursor_in_hand.focus_row(1)
    type_keys("144\n")
    qtbot.waitUntil(lambda: excitation.body.findings.chosen_offer() is not None)
    rows = excitation.body.table.rows
    said = rows.data(rows.index(2, 2), Qt.ItemDataRole.AccessibleTextRole)
    assert said == "Current, mA, row 3: 144, in doubt"


def test_the_next_volts_come_with_their_reason(excitation, type_keys):
    type_keys("20\n3.43\n80\n9.12\n160\n14.4\n")
    assert excitation.body.hint.text().replace("\u00a0", " ") == (
        "Next 173 V: the class wants readings up to 275 V."
    )


def test_why_a_finer_knee_wants_more_is_said_when_the_keys_rest(excitation, qtbot, type_keys):
    type_keys("20\n3.43\n80\n9.12\n160\n14.4\n220\n18.3\n240\n20.5\n255\n24.3\n270\n32\n285\n51\n300\n90\n")
    qtbot.waitUntil(lambda: "knee" in excitation.body.hint.text())
    assert excitation.body.hint.text().startswith("Enough for the class. For a finer knee ")


def test_the_band_takes_a_line_more_where_what_to_do_does_not_fit_into_one(qtbot):
    screen = QWidget()
    qtbot.addWidget(screen)
    screen.resize(600, 700)
    box = CautionBox(screen)
    box.resize(600, 46)
    words = "Short the transformer first, then open the links towards the relay, and close them in turn. " * 2
    read = CautionLine("a", "An open secondary.", "", words, "I.B. 07:44")
    box.show_lines((read,))
    tall = box.height()
    box.show_lines((dataclasses.replace(read, so_text="Short it first."),))
    assert tall > box.height()
