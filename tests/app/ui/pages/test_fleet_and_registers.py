from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester

from app.desk.limit_sets import LimitSet, SetLimit
from app.desk.registers import Template
from app.ui.dialogs.frame import open_dialog
from app.ui.dialogs.set_limits import rule_in_words
from app.ui.models.plain import PlainModel, states_table
from app.ui.models.registers import RegisterModel
from ctcore.job import Instrument, Person
from ctcore.judgement.office_rules import OFFICE_RULES
from tests.app.ui.archive.conftest import fill

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
ALT = Qt.KeyboardModifier.AltModifier
FATAL = QAbstractItemModelTester.FailureReportingMode.Warning
METER = Instrument(instrument_id="i1", name_text="Ohmmeter 3", serial_text="M-7", due_on="2020-06-30")


@pytest.fixture
def registers(hand):
    hand.press(Qt.Key.Key_N, SHIFTED)
    assert hand.window.page_id == "registers"
    return hand.window.page("registers")


def keep(hand, *entries):
    for entry in entries:
        hand.window.session.desk.register(entry)
    hand.window.page("registers").first_focus()
    hand.rest()


def test_figures_without_an_archive_are_those_of_this_computer(hand):
    hand.press(Qt.Key.Key_F9, Qt.KeyboardModifier.ShiftModifier)
    page = hand.window.page("fleet")
    hand.wait(lambda: page.models["states"].table.rows)
    assert page.models["states"].table.rows[0][:3] == ("being tested", "1", "3") or page.models[
        "states"
    ].table.rows[0][:3] == ("planned", "1", "3")
    assert page.trouble.text().startswith("Jobs and instruments are those of this computer.")
    assert page.notes["faults"].text() == "The archive has not answered yet."


def test_figures_of_the_archive_follow_and_are_copied_and_printed(hand, tmp_path):
    place = str(tmp_path / "archive.sqlite")
    fill(place)
    hand.window.settings.change(archive_place_text=place)
    hand.press(Qt.Key.Key_F9, Qt.KeyboardModifier.ShiftModifier)
    page = hand.window.page("fleet")
    hand.wait(lambda: page.models["deviations"].table.rows)
    assert page.models["deviations"].table.rows[0][:3] == ("2041-09-01", "P. Dry", "A-2")
    hand.press(Qt.Key.Key_C, ALT)
    copied = QGuiApplication.clipboard().text()
    assert "Open deviations\nDue\tBy whom" in copied
    assert "2041-09-01\tP. Dry\tA-2" in copied
    hand.press(Qt.Key.Key_P, ALT)
    dialog = open_dialog()
    dialog.field.line.setText(str(tmp_path / "figures.pdf"))
    dialog.main.click()
    hand.wait(lambda: (tmp_path / "figures.pdf").exists())
    assert (tmp_path / "figures.pdf").read_bytes().startswith(b"%PDF")


def test_every_table_of_figures_is_named_and_reached_by_f6(hand):
    hand.press(Qt.Key.Key_F9, Qt.KeyboardModifier.ShiftModifier)
    page = hand.window.page("fleet")
    reached = []
    for _ in range(4):
        reached.append(hand.focus.accessibleName())
        hand.press(Qt.Key.Key_F6)
    assert reached == [
        "Jobs by state", "Instruments whose calibration ends", "Faults found by kind", "Open deviations",
    ]  # fmt: skip
    assert page.foot.isAncestorOf(hand.focus)


def test_plain_tables_and_registers_pass_the_tester(qapp):
    model, entries = PlainModel(states_table(())), RegisterModel()
    testers = [QAbstractItemModelTester(one, FATAL) for one in (model, entries)]
    model.put(states_table(()))
    entries.show_lines((METER, Person(person_id="p", name_text="R. Tamm")))
    entries.show_lines(())
    assert [one.model() for one in testers] == [model, entries]


def test_an_entry_is_added_and_its_fields_kept_as_they_are_left(hand, registers):
    registers.show_kind("instruments")
    hand.press(Qt.Key.Key_A, ALT)
    hand.enter("Ohmmeter 3")
    hand.wait(lambda: registers.model.rowCount() == 1)
    field = registers.fields["due_on"]
    field.line.setText("2031-13-01")
    field.line.setModified(True)
    field.keep_typed()
    assert field.reason.startswith("A date is wanted")
    field.line.setText("2020-06-30")
    field.line.setModified(True)
    field.keep_typed()
    hand.rest()
    (kept,) = hand.window.session.desk.registers().instruments
    assert kept.due_on == "2020-06-30"
    assert registers.notices.text() == "Ohmmeter 3: calibration ended 2020-06-30"


def test_an_instrument_of_the_register_is_named_in_the_job(hand, registers):
    keep(hand, METER)
    registers.show_kind("instruments")
    hand.press(Qt.Key.Key_J, ALT)
    hand.wait(lambda: any(one.instrument_id == "i1" for one in hand.job.instruments))
    assert hand.window.bar.sentence == "Ohmmeter 3 is named in the job."


def test_an_entry_is_taken_out_after_words(hand, registers):
    keep(hand, Person(person_id="p", name_text="R. Tamm"))
    hand.press(Qt.Key.Key_D, ALT)
    assert hand.window.session.desk.registers().people
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: registers.model.rowCount() == 0)
    assert hand.window.session.desk.registers().people == ()


def test_a_job_is_started_from_a_template(hand, registers):
    limits = LimitSet(set_id="s1", name_text="Fenmark Grid", decision_rule="guard_band")
    keep(hand, limits, Template(
        template_id="t1", name_text="Fenmark bay", customer_text="Fenmark Grid", title_text="Line bay",
        frequency_rated_hz=60.0, phase_names=("A", "B", "C"), set_id="s1",
        core_classes=("5P20 15 VA", "0,5 FS5 10 VA"),
    ))  # fmt: skip
    registers.show_kind("templates")
    assert registers.model.words(registers.model.line(0), "until") == "Fenmark Grid"
    hand.press(Qt.Key.Key_J, ALT)
    dialog = open_dialog()
    hand.wait(lambda: dialog.template.value() == "t1")
    assert (dialog.title.value(), dialog.phases.value(), dialog.frequency.value()) == (
        "Line bay", "A B C", "60",
    )  # fmt: skip
    dialog.number.line.setText("J-90")
    dialog.main.click()
    hand.wait(lambda: hand.job.header.number_text == "J-90")
    hand.wait(lambda: open_dialog() is not None and open_dialog() is not dialog)
    assert [field.value() for field in open_dialog().cores] == ["5P20 15 VA", "0,5 FS5 10 VA", "", ""]
    open_dialog().reject()
    assert hand.job.header.customer_text == "Fenmark Grid"
    assert hand.job.references.decision_rule == "guard_band"


def test_a_file_is_shown_before_it_changes_anything(hand, registers, tmp_path):
    keep(hand, METER)
    out = tmp_path / "registers-out.json"
    hand.window.session.desk.write_registers(out)
    hand.window.session.desk.unregister("instruments", "i1")
    hand.press(Qt.Key.Key_T, ALT)
    dialog = open_dialog()
    dialog.field.line.setText(str(out))
    dialog.main.click()
    hand.wait(lambda: open_dialog() not in (None, dialog))
    assert open_dialog().lines.text() == "Instruments: Ohmmeter 3 is new."
    assert hand.window.session.desk.registers().instruments == ()
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: hand.window.session.desk.registers().instruments)
    assert hand.window.session.desk.registers().instruments == (METER,)


def test_registers_that_cannot_be_read_are_said_and_left(hand, registers, tmp_path):
    (tmp_path / "registers.json").write_bytes(b"rotten")
    registers.first_focus()
    hand.wait(lambda: registers.notices.isVisible())
    assert "is no file of registers" in registers.notices.text()
    assert (tmp_path / "registers.json").read_bytes() == b"rotten"


def test_a_set_gets_limits_for_a_class_and_the_job_is_judged_by_it(hand, registers):
    keep(
        hand, LimitSet(set_id="s1", name_text="Fenmark Grid", source_text="FG-12, ed. 3", set_by_text="B. R.")
    )
    registers.show_kind("limit_sets")
    hand.press(Qt.Key.Key_L, ALT)
    dialog = open_dialog()
    hand.enter("PX")
    dialog.rule.show_text("resistance.limit")
    dialog.low.line.setText("none")
    dialog.main.click()
    assert dialog.low.reason
    dialog.low.line.clear()
    dialog.high.line.setText("2400 mohm")
    dialog.clause.line.setText("4.2")
    dialog.main.click()
    hand.wait(lambda: dialog.model.rowCount() == 1)
    assert [dialog.model.words(dialog.model.line(0), name) for name in ("class", "low", "clause")] == [
        "PX", "–", "4.2",
    ]  # fmt: skip
    hand.press(Qt.Key.Key_Escape)
    assert registers.model.words(registers.model.line(0), "until") == "limits: 1"
    hand.press(Qt.Key.Key_J, ALT)
    hand.wait(lambda: hand.job.references.limit_overrides)
    (held,) = hand.job.references.limit_overrides
    assert (held.class_text, held.limit_high) == ("PX", 2.4)
    assert hand.window.bar.sentence == "The job is judged by Fenmark Grid."


def test_limits_without_a_document_are_refused_at_the_dialog_and_what_was_typed_stays(hand, registers):
    keep(hand, LimitSet(set_id="s1", name_text="Fenmark Grid"))
    registers.show_kind("limit_sets")
    hand.press(Qt.Key.Key_L, ALT)
    dialog = open_dialog()
    dialog.high.line.setText("2")
    dialog.main.click()
    hand.wait(lambda: dialog.trouble.text())
    assert "with its edition" in dialog.trouble.text()
    assert (dialog.high.line.text(), dialog.model.rowCount()) == ("2", 0)


def test_a_limit_is_taken_up_to_be_changed_and_taken_out(hand, registers):
    one = SetLimit(rule="ratio.error", class_text="0.5", limit_low=-0.25, limit_high=0.25)
    keep(hand, LimitSet(set_id="s1", name_text="F", source_text="D", set_by_text="B", limits=(one,)))
    registers.show_kind("limit_sets")
    hand.press(Qt.Key.Key_L, ALT)
    dialog = open_dialog()
    dialog.table.chosen.emit(0)
    assert (dialog.class_field.value(), dialog.low.value(), dialog.high.value()) == ("0.5", "-0.25", "0.25")
    dialog.high.line.setText("0.2")
    dialog.main.click()
    hand.wait(lambda: dialog.model.line(0).limit_high == 0.2)
    assert dialog.model.rowCount() == 1
    dialog.table.setCurrentIndex(dialog.model.index(0, 0))
    dialog.out.click()
    hand.wait(lambda: dialog.model.rowCount() == 0)
    assert hand.window.session.desk.registers().limit_sets[0].limits == ()


def test_no_two_limits_are_called_alike(qapp):
    assert len({rule_in_words(rule) for rule in OFFICE_RULES}) == len(OFFICE_RULES)


def test_the_usual_cores_of_a_template_are_typed_with_a_semicolon_between(hand, registers):
    keep(hand, Template(template_id="t1", name_text="Fenmark bay"))
    registers.show_kind("templates")
    field = registers.fields["core_classes"]
    field.line.setText("5P20 15 VA; 0,5 FS5 10 VA;")
    field.line.setModified(True)
    field.keep_typed()
    hand.rest()
    (kept,) = hand.window.session.desk.registers().templates
    assert kept.core_classes == ("5P20 15 VA", "0,5 FS5 10 VA")
    assert registers.fields["core_classes"].value() == "5P20 15 VA; 0,5 FS5 10 VA"
