from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester

from app.ui.dialogs.frame import open_dialog
from app.ui.dialogs.watched import WatchedDialog
from app.ui.models.deviations import DeviationsModel
from app.ui.models.watched import WatchedModel
from ctcore.job import Person


@pytest.fixture
def page(hand):
    hand.press(Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    assert hand.window.page_id == "references"
    return hand.window.front


def test_what_differs_from_the_papers_becomes_a_deviation(hand, page):
    hand.enter("drawing 12", "")
    hand.answer(page.expected["class"], "5P20 15 VA")
    hand.wait(lambda: page.model.rowCount())
    assert hand.job.deviations[0].found_text.endswith("and 5P20 15 VA in drawing 12.")
    assert hand.job.references.expected[0].source_text == "drawing 12"


def test_a_figure_without_a_source_is_refused_at_its_field_and_stays(hand, page):
    field = next(iter(page.values.values()))
    hand.answer(field, "2.5")
    assert field.reason.startswith("Source: say where")
    assert field.line.text() == "2.5"
    assert hand.job.references.values == ()


def test_a_figure_of_a_previous_test_is_kept_as_such(hand, page):
    hand.enter("sheet 4")
    hand.press(Qt.Key.Key_Space)
    hand.press(Qt.Key.Key_Return)
    hand.answer(next(iter(page.values.values())), "2500 mohm")
    (value,) = hand.job.references.values
    assert (value.kind, value.value, value.source_text) == ("previous", 2.5, "sheet 4")


def test_a_curve_is_pasted_with_its_source(hand, page):
    hand.enter("certificate 77")
    hand.press(Qt.Key.Key_V, Qt.KeyboardModifier.AltModifier)
    dialog = open_dialog()
    QGuiApplication.clipboard().setText("100\t10\n200\t15\n")
    hand.press(Qt.Key.Key_V, Qt.KeyboardModifier.AltModifier)
    dialog.main.click()
    hand.wait(lambda: open_dialog() is None)
    (curve,) = hand.job.references.curves
    assert (len(curve.points), curve.source_text) == (2, "certificate 77")
    assert "2 points, certificate 77" in page.curves.text()


def test_a_deviation_gets_what_is_done_and_by_whom(hand, page):
    hand.enter("drawing 12", "")
    hand.answer(page.expected["class"], "5P20 15 VA")
    hand.wait(lambda: page.model.rowCount())
    page.table.setFocus()
    hand.press(Qt.Key.Key_Return)
    hand.press(Qt.Key.Key_Space)
    hand.enter("", "A. Rill", "2031-06-01")
    hand.wait(lambda: open_dialog() is None)
    (made,) = hand.job.deviations
    assert (made.disposition_text, made.owner_text, made.due_on) == (
        "accept as it is",
        "A. Rill",
        "2031-06-01",
    )


def test_a_permit_is_noted_with_number_and_times(hand, page):
    hand.press(Qt.Key.Key_P, Qt.KeyboardModifier.AltModifier)
    hand.enter("", "88", "07:40", "")
    hand.wait(lambda: open_dialog() is None)
    assert page.permits.text() == "permit to work, 88, 07:40"


def test_the_next_core_comes_by_a_key(hand, page):
    before = page.heading.text
    hand.press(Qt.Key.Key_N, Qt.KeyboardModifier.AltModifier)
    assert page.heading.text != before
    assert page.heading.text.startswith("S1 line, L2")


def test_the_model_of_deviations_passes_the_tester(hand, page, qapp):
    hand.enter("drawing 12", "")
    hand.answer(page.expected["class"], "5P20 15 VA")
    hand.wait(lambda: page.model.rowCount())
    model = DeviationsModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    model.put(hand.job)
    assert model.index(0, 2).data() == "open"
    assert tester.model() is model


def test_a_person_is_changed_and_named_as_witness(hand):
    hand.control(Qt.Key.Key_I)
    hand.press(Qt.Key.Key_E, Qt.KeyboardModifier.AltModifier)
    hand.press(Qt.Key.Key_W, Qt.KeyboardModifier.AltModifier)
    hand.wait(lambda: isinstance(open_dialog(), WatchedDialog))
    hand.press(Qt.Key.Key_Space, Qt.KeyboardModifier.ShiftModifier)
    hand.press(Qt.Key.Key_Right)
    hand.press(Qt.Key.Key_Space)
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: open_dialog() is None)
    watched = [one.procedures for one in hand.job.people[0].watched]
    assert watched == [("insulation", "resistance"), ("insulation",), ("insulation",)]
    assert "watched 4 tests on 3 cores" in hand.window.page("people").people.text()


def test_what_was_watched_is_said_and_unsaid_cell_by_cell(hand, qtlog):
    model = WatchedModel(hand.job, Person(person_id="w", name_text="W", watched=()))
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    model.toggle(0, 0)
    assert set(model.tests()[next(iter(model.tests()))]) >= {"insulation", "resistance", "excitation"}
    model.toggle(0, 0)
    model.toggle_column(1)
    model.toggle(1, 1)
    assert [len(tests) for tests in model.tests().values()] == [1, 0, 1]
    assert model.index(0, 1).data() == "watched"
    assert "not said" in model.index(1, 1).data(Qt.ItemDataRole.AccessibleTextRole)
    assert tester.model() is model
    assert [entry.message for entry in qtlog.records if "FAIL" in entry.message] == []


def test_a_check_before_use_is_noted_of_an_instrument(hand):
    hand.control(Qt.Key.Key_I)
    page = hand.window.page("people")
    hand.answer(page.fields["checked_before_use_text"], "1 ohm standard, 07:50")
    assert hand.job.instruments[0].checked_before_use_text == "1 ohm standard, 07:50"
