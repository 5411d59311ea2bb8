from __future__ import annotations

import dataclasses

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest

from app.desk.board import Board, board
from app.ui.dialogs.frame import open_dialog
from app.ui.models.board import BoardModel
from app.ui.shell.key_button import VerbButton
from tests.app.ui.desk_of_window import Hand


@pytest.fixture
def bay(qtbot, tmp_path):
    """A window with the sample bay on its board."""
    made = Hand(qtbot, tmp_path)
    made.open_store(sample="line_bay")
    made.wait(lambda: made.window.page_id == "worksheet")
    made.press(Qt.Key.Key_F8, Qt.KeyboardModifier.ShiftModifier)
    yield made
    made.close()


def _page(hand):
    assert hand.window.page_id == "board"
    return hand.window.front


def test_f8_goes_from_keying_to_the_sets_to_the_board_and_back(hand):
    hand.press(Qt.Key.Key_F8)
    assert hand.window.page("worksheet").in_sets()
    hand.press(Qt.Key.Key_F8)
    assert hand.window.page_id == "board"
    hand.press(Qt.Key.Key_F8)
    assert hand.window.page("worksheet").in_sets()


def test_the_box_of_the_worksheet_is_in_hand_first(hand):
    hand.press(Qt.Key.Key_F8, Qt.KeyboardModifier.ShiftModifier)
    box = _page(hand).table.box()
    assert (box.core_id, box.procedure_id) == hand.window.place


def test_arrows_go_through_phases_then_tests(bay):
    table = _page(bay).table
    table.go_to_first()
    seen = []
    for _ in range(4):
        seen.append((table.box().phase_text, table.box().procedure_id))
        bay.press(Qt.Key.Key_Right)
    assert seen == [("L1", "insulation"), ("L2", "insulation"), ("L3", "insulation"), ("L1", "resistance")]


def test_left_from_the_first_phase_goes_to_the_last_of_the_test_before(bay):
    table = _page(bay).table
    table.go_to_first()
    bay.press(Qt.Key.Key_End)
    for _ in range(3):
        bay.press(Qt.Key.Key_Right)
    bay.press(Qt.Key.Key_Left)
    assert (table.box().phase_text, table.box().procedure_id) == ("L3", "insulation")


def test_down_passes_over_headings_and_stays_at_the_last_row(bay):
    table = _page(bay).table
    table.go_to_first()
    bay.press(Qt.Key.Key_Down)
    assert table.box().number == 2
    bay.press(Qt.Key.Key_PageDown)
    assert table.box().number == 2
    bay.press(Qt.Key.Key_Home)
    assert table.box().number == 1


def test_enter_opens_the_box_in_hand(bay):
    table = _page(bay).table
    table.go_to_first()
    bay.press(Qt.Key.Key_Right)
    bay.press(Qt.Key.Key_Return)
    assert bay.window.page_id == "worksheet"
    assert bay.window.title.cell_text("set_and_ct").startswith("Line side of the breaker, L2")


def test_the_next_finding_is_the_worst_one_and_is_read_back(bay):
    bay.control(Qt.Key.Key_G)
    page = _page(bay)
    assert page.table.box().verdict == "outside"
    assert page.name.text == "Line side of the breaker, L3, core 2, insulation resistance"
    assert "at least" in page.sentence.text()
    bay.control(Qt.Key.Key_G)
    assert page.table.box().verdict == "refer"


def test_a_count_leaves_only_its_rows_and_brings_them_back(bay):
    page = _page(bay)
    bay.press(Qt.Key.Key_F6)
    assert page.counts.buttons["outside"].hasFocus()
    bay.press(Qt.Key.Key_Return)
    assert [line.words for line in page.table.boards.board.lines][1:] == ["2 0.5S FS5"]
    page.counts.buttons["outside"].click()
    assert len(page.table.boards.board.lines) == 3


def test_letters_typed_on_the_board_find(bay):
    bay.type("l")
    bay.type(" core")
    dialog = open_dialog()
    assert dialog.search.text() == "l core"
    bay.press(Qt.Key.Key_Escape)


def test_escape_goes_back_to_the_worksheet(bay):
    bay.press(Qt.Key.Key_Escape)
    assert bay.window.page_id == "worksheet"


def test_a_second_touch_on_a_box_opens_it(bay):
    table = _page(bay).table
    table.go_to_first()
    place = table.visualRect(table.currentIndex()).topLeft()
    where = place + table.viewport().rect().topLeft()
    where.setX(place.x() + 5 + 40 + 20)
    where.setY(place.y() + 20)
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert table.box().phase_text == "L2"
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=where)
    bay.rest()
    assert bay.window.page_id == "worksheet"


def test_the_model_passes_the_tester_while_boards_come_and_go(bay, qapp):
    view = bay.window.session.view
    model = BoardModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    whole = board(view)
    for shown in (whole, whole.only("outside"), whole.only("not tested"), whole):
        model.put(shown, view, here=("", ""))
    assert (model.rowCount(), model.columnCount()) == (3, 5)
    assert tester.model() is model


def test_a_cell_says_all_of_itself_to_a_screen_reader(bay):
    model = _page(bay).table.boards
    said = model.index(2, 1).data(Qt.ItemDataRole.AccessibleTextRole)
    assert said == ("2 0.5S FS5, Insulation resistance: L1 within; L2 within; L3 outside. L3 outside")


def test_on_a_narrow_screen_the_tests_go_along_with_the_box_in_hand(bay):
    bay.window.resize(683, 384)
    table = _page(bay).table
    table.go_to_first()
    for _ in range(11):
        bay.press(Qt.Key.Key_Right)
    assert table.box().procedure_id == "excitation"
    assert not table.isColumnHidden(4)
    assert table.isColumnHidden(1)


def test_what_changes_elsewhere_is_on_the_board_when_it_is_looked_at(hand):
    hand.press(Qt.Key.Key_F8, Qt.KeyboardModifier.ShiftModifier)
    page = _page(hand)
    hand.press(Qt.Key.Key_Escape)
    hand.window.session.do(lambda desk, job_id: desk.add_position(job_id, "S2 bus", core_classes=("5P20",)))
    hand.rest()
    hand.press(Qt.Key.Key_F8, Qt.KeyboardModifier.ShiftModifier)
    assert [line.words for line in page.table.boards.board.lines] == ["S1 line", "1 PX", "S2 bus", "1 5P20"]


def test_stale_cores_are_judged_between_other_verbs(hand, monkeypatch):
    monkeypatch.setattr("app.desk.core.AT_ONCE", 0)
    hand.window.session.do(
        lambda desk, job_id: desk.set_header(job_id, desk.view(job_id).job.header, frequency_rated_hz=60.0)
    )
    hand.rest()
    hand.wait(lambda: not hand.window.session.view.stale_core_ids)
    assert hand.window.session.view.job.frequency_rated_hz == 60.0


def test_everything_that_is_missing_is_listed_and_a_line_leads_to_its_place(bay):
    job_id = bay.window.session.job_id
    ct = bay.window.session.view.job.positions[0].cts[1]
    bay.window.session.do(
        lambda desk, _id: desk.set_ct(job_id, dataclasses.replace(ct, plate_confirmed=False))
    )
    bay.rest()
    bay.control(Qt.Key.Key_M)
    bay.wait(lambda: open_dialog() is not None)
    model = open_dialog().model
    rows = [model.index(row, 0).data() for row in range(model.rowCount())]
    place = next(row for row, words in enumerate(rows) if words.endswith("the plate was not compared"))
    for _ in range(place):
        bay.press(Qt.Key.Key_Down)
    bay.press(Qt.Key.Key_Return)
    assert open_dialog() is None
    assert bay.window.page_id == "plate"


def test_the_tests_of_another_job_have_their_columns_whichever_page_is_in_front(bay):
    table, view = _page(bay).table, bay.window.session.view
    first = table.boards.board
    wide = [table.columnWidth(column) for column in range(5)]
    table.boards.put(Board((), 1, ()), view, here=("", ""))
    table.boards.put(first, view, here=("", ""))
    assert [table.columnWidth(column) for column in range(5)] == wide


def test_a_reason_beneath_a_button_is_read_in_full_and_gives_way_before_the_words(qtbot):
    button = VerbButton("Out", "Alt+D")
    qtbot.addWidget(button)
    plain = button.sizeHint().width()
    button.set_reason("no entry in hand, choose one first")
    assert button.sizeHint().width() > plain
    button.let_shrink()
    assert button.minimumSizeHint().width() < plain
