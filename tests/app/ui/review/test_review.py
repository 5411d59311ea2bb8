from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from app.ui.dialogs.frame import open_dialog
from app.ui.review.compare_table import VERDICT_ROLE, CompareModel
from app.ui.review.queue_list import QueueModel
from app.ui.review.to_decide import ToDecideModel
from tests.app.desk.making import PASSPHRASE

FATAL = QAbstractItemModelTester.FailureReportingMode.Warning
ENTER, CONTROL = Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier


def _page(hand):
    return hand.window.page("review")


def _decide_all(hand):
    page = _page(hand)
    for line in page.state.lines:
        choice = "accepted" if "accepted" in line.allowed else "concession"
        hand.window.session.do(
            lambda desk, job_id, key=line.key, how=choice: desk.decide(
                job_id, key, how, "lead known", "a year"
            )
        )
        hand.rest()
    hand.wait(lambda: page.state.open_count == 0)


def test_a_job_that_waits_is_told_with_its_exceptions(hand):
    words = _page(hand).queue_model.index(0).data(Qt.ItemDataRole.AccessibleTextRole)
    assert words.startswith("1042 Brackmere 4, handed in:")
    assert "2 outside" in words
    assert words.endswith("outage today 16:00")


def test_exceptions_come_worst_first(hand):
    verdicts = [line.verdict for line in _page(hand).model.lines]
    assert verdicts[:2] == ["outside", "outside"]
    assert set(verdicts[2:]) <= {"refer", "not tested"}


def test_three_phases_stand_beside_plate_and_certificate(hand):
    model = _page(hand).detail.model
    heads = [model.headerData(column, Qt.Orientation.Horizontal) for column in range(model.columnCount())]
    assert heads == ["", "L1", "L2", "L3", "Limit", "Certificate", "Previous"]
    rows = [[model.index(row, column).data() for column in range(6)] for row in range(model.rowCount())]
    corrected = next(row for row in rows if row[4] == "3 at most")
    assert corrected[1:4] == ["2.636", "3.244", "3.657"]
    assert corrected[5].startswith("2.63")
    verdicts = [model.index(rows.index(corrected), column).data(VERDICT_ROLE) for column in (1, 2, 3)]
    assert verdicts == ["within", "outside", "outside"]


def test_the_values_are_drawn_against_their_limit(hand):
    assert _page(hand).detail.scale.accessibleName().endswith("; 3 at most")
    assert _page(hand).detail.scale.isVisible()


def test_approve_says_how_many_exceptions_wait(hand):
    page = _page(hand)
    count = page.model.rowCount()
    said = f"Approve is not possible yet: {count} exceptions wait for a decision."
    assert page.foot.sentence.text == said


def test_outside_is_not_accepted_as_it_is(hand):
    page = _page(hand)
    hand.press(Qt.Key.Key_A, CONTROL)
    assert open_dialog() is None
    assert not page.detail.buttons["accepted"].isEnabled()
    assert hand.window.bar.sentence == "Outside cannot be accepted as it is."


def test_a_line_goes_back_only_with_a_reason(hand):
    page = _page(hand)
    hand.control(Qt.Key.Key_B)
    dialog = open_dialog()
    hand.press(ENTER)
    hand.press(ENTER)
    hand.press(ENTER)
    said = dialog.reason.reason
    hand.press(Qt.Key.Key_Escape)
    assert said == "Say why; the reason stands in the record."
    assert page.state.back_count == 0


def test_what_is_decided_stands_in_the_list_with_its_name(hand):
    page = _page(hand)
    hand.control(Qt.Key.Key_D)
    hand.enter("lead known, link 7 was cleaned", "2032-03-01", "")
    hand.wait(lambda: page.model.lines[0].settled)
    assert page.model.lines[0].decided_text == "concession, M. Oskarrin"
    assert (
        page.detail.said.text() == "concession, M. Oskarrin: lead known, link 7 was cleaned; holds 2032-03-01"
    )
    assert page.foot.decided.text.startswith("1 of ")


def test_one_ruling_goes_for_every_line_of_its_kind(hand):
    page = _page(hand)
    hand.control(Qt.Key.Key_D)
    hand.enter("lead known", "a year")
    hand.press(Qt.Key.Key_Right)
    hand.press(ENTER)
    hand.wait(lambda: open_dialog() is None)
    hand.wait(lambda: all(line.settled for line in page.model.lines if line.verdict == "outside"))


def test_enter_goes_to_the_next_line_without_a_decision(hand):
    page = _page(hand)
    hand.press(ENTER)
    assert page.lines.row == 1


def test_a_comment_is_pinned_to_the_line(hand):
    page = _page(hand)
    hand.press(Qt.Key.Key_F4)
    hand.enter("measure on its own terminals", "")
    hand.wait(lambda: page.detail.talk.isVisible())
    assert page.detail.talk.words.text().endswith(": measure on its own terminals [open]")
    assert page.detail.talk.words.text().startswith("M. Oskarrin, ")


def test_a_wrong_passphrase_approves_nothing_and_is_counted(hand):
    page = _page(hand)
    _decide_all(hand)
    hand.press(ENTER, CONTROL)
    dialog = open_dialog()
    hand.enter("five loud words that fit not")
    hand.wait(lambda: dialog.trouble.text())
    assert "try 1 of 10" in dialog.trouble.text()
    hand.enter("")
    assert dialog.trouble.text().startswith(("Wait 1 s", "Not opened"))
    hand.press(Qt.Key.Key_Escape)
    assert page.state.view.job.state == "handed_in"


def test_a_decided_job_is_approved_and_issued_by_keys(hand, tmp_path):
    page = _page(hand)
    _decide_all(hand)
    assert page.foot.main.text() == "Approve and sign"
    hand.press(ENTER, CONTROL)
    hand.enter(PASSPHRASE)
    hand.wait(lambda: open_dialog() is None and page.foot.main_act == "issue")
    hand.press(ENTER, CONTROL)
    dialog = open_dialog()
    hand.focus.selectAll()
    hand.enter(str(tmp_path / "issued.zip"), PASSPHRASE)
    hand.wait(lambda: (tmp_path / "issued.zip").exists() and page.state.view.job.state == "issued")
    assert dialog is not None
    assert page.queue_model.rowCount() == 0
    assert page.foot.sentence.text.startswith("Issued: nothing in this revision changes any more")


def test_nothing_is_decided_by_who_tested(hand):
    hand.window.settings.change(person_id="adder", person_name_text="T. Adder")
    page = _page(hand)
    page.look()
    hand.wait(lambda: page.queue_model.rowCount() == 0)
    page._show_line()
    assert not page.detail.buttons["concession"].isEnabled()
    assert not page.foot.main.isEnabled()


@pytest.mark.parametrize("kind", [QueueModel, ToDecideModel])
def test_a_list_passes_the_tester_while_its_lines_change(hand, kind):
    page = _page(hand)
    lines = list((page.queue_model if kind is QueueModel else page.model).lines)
    model = kind()
    tester = QAbstractItemModelTester(model, FATAL)
    model.put(lines)
    model.put([])
    model.put(lines[:1])
    assert model.rowCount() == 1
    assert tester.model() is model


def test_the_comparison_passes_the_tester(hand):
    page = _page(hand)
    model = CompareModel()
    tester = QAbstractItemModelTester(model, FATAL)
    for found in page._compared.values():
        model.put(found)
    model.put(None)
    assert (model.rowCount(), model.columnCount()) == (0, 0)
    assert tester.model() is model


def test_every_line_stands_by_core_and_test_and_can_be_asked_about(hand):
    page = _page(hand)
    hand.press(Qt.Key.Key_2, Qt.KeyboardModifier.AltModifier)
    hand.wait(lambda: page.model.rowCount() == page.state.every_count)
    within = next(row for row, line in enumerate(page.model.lines) if line.verdict == "within")
    hand.press(Qt.Key.Key_Home)
    for _ in range(within):
        hand.press(Qt.Key.Key_Down)
    assert not page.detail.buttons["sent_back"].isEnabled()
    hand.press(Qt.Key.Key_F4)
    hand.enter("which probe", "")
    hand.wait(lambda: page.line_in_hand().asked == "open")
    hand.press(Qt.Key.Key_1, Qt.KeyboardModifier.AltModifier)
    hand.wait(lambda: "within" in {line.verdict for line in page.model.lines})


def test_an_open_comment_is_closed_by_its_key_and_keeps_an_approval_up_until_then(hand):
    page = _page(hand)
    hand.press(Qt.Key.Key_F4)
    hand.enter("which lead", "")
    hand.wait(lambda: page.line_in_hand().asked == "open")
    _decide_all(hand)
    assert page.foot.main_act == "send_back"
    assert "1 comment is open" in page.foot.sentence.text
    hand.control(Qt.Key.Key_K)
    hand.wait(lambda: page.line_in_hand().asked == "closed")
    assert page.foot.main_act == "approve"


def test_the_key_of_comments_says_so_where_none_waits(hand):
    hand.control(Qt.Key.Key_K)
    assert hand.window.bar.sentence == "No comment waits on this line."


def test_a_concession_says_how_long_it_holds(hand):
    hand.control(Qt.Key.Key_D)
    dialog = open_dialog()
    hand.enter("lead known", "", "")
    assert dialog.valid.reason.startswith("Say for how long")
    hand.press(Qt.Key.Key_Escape)


@pytest.mark.parametrize(("key", "order"), [("A", "age"), ("O", "outage"), ("W", "worst")])
def test_the_order_of_what_waits_is_chosen_by_key_and_remembered(hand, key, order):
    hand.press(getattr(Qt.Key, f"Key_{key}"), Qt.KeyboardModifier.AltModifier)
    assert hand.window.settings.get("review_order") == order
    hand.wait(lambda: _page(hand).queue_box.orders[order].is_open)


def test_the_sheet_is_shown_and_left_for_the_review(hand):
    hand.press(Qt.Key.Key_4, Qt.KeyboardModifier.AltModifier)
    hand.wait(lambda: hand.window.page_id == "preview")
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.page_id == "review"


def test_at_the_first_look_nothing_is_told_as_changed(hand):
    assert _page(hand).tabs.tabs["changed"].isHidden()
    assert not any(line.is_changed for line in _page(hand).model.lines)


def test_a_job_is_made_void_only_with_a_reason_and_says_what_is_kept(hand):
    hand.window.deeds.do("void")
    hand.wait(lambda: open_dialog() is not None)
    dialog = open_dialog()
    hand.press(ENTER)
    assert dialog.reason.reason == "Say why; the reason stands in the trail."
    hand.enter("wrong bay")
    hand.wait(lambda: hand.window.session.view.job.state == "void")


def test_a_job_that_is_not_issued_is_not_superseded_and_says_why(hand):
    hand.window.deeds.do("supersede")
    hand.rest()
    assert open_dialog() is None
    assert hand.window.bar.sentence == "Superseding is not possible yet: the job is handed in."
