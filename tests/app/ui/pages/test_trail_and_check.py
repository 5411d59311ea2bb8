from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from app.desk.trail import TrailLine
from app.ui.models.trail import TrailModel
from app.ui.pages.check import begun
from ctcore.job import Person

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def _trail(hand):
    hand.press(Qt.Key.Key_T, SHIFTED)
    page = hand.window.page("trail")
    hand.wait(lambda: page.model.act_count)
    return page


def _line(what, where="whole job", to=""):
    return TrailLine(
        when_text="4 May 2031 10:42:07 +02:00", who_text="T. Adder", device_id="d1", n=1,
        what_text=what, where_text=where, from_text="", to_text=to,
    )  # fmt: skip


def test_the_trail_says_who_did_what(hand):
    page = _trail(hand)
    words = {page.model.index(row, 2).data() for row in range(page.model.rowCount())}
    assert {"job made", "position changed", "instrument named"} <= words
    assert page.model.index(0, 1).data() == "J. Velde"


def test_letters_typed_at_once_cut_the_trail_down(hand):
    page = _trail(hand)
    hand.type("instrument")
    assert page.model.rowCount() == 1
    assert "instrument named" in page.whole.text()
    hand.type(" nowhere")
    assert (page.model.rowCount(), page.whole.text()) == (0, "Nothing was done here.")


def test_the_trail_of_a_field_tells_every_reading_of_it(hand):
    hand.press(Qt.Key.Key_1, Qt.KeyboardModifier.AltModifier)
    while hand.window.page("worksheet").page.body.caution.current is not None:
        hand.press(Qt.Key.Key_Return)
    hand.window.page("worksheet").page.cursor_in_hand.start()
    address = hand.window.page("worksheet").address_here()
    page = _trail(hand)
    page.show_scope("field")
    hand.rest()
    assert address is not None
    assert page.address == address
    assert page.tabs["field"].isVisible()


def test_the_trail_of_the_core_in_hand_leaves_the_rest_out(hand):
    page = _trail(hand)
    whole = page.model.rowCount()
    page.tabs["core"].click()
    hand.rest()
    assert page.tabs["core"].is_open
    assert page.model.act_count < whole


def test_what_is_done_meanwhile_stands_in_the_trail(hand):
    page = _trail(hand)
    before = page.model.act_count
    witness = Person(person_id="w", name_text="W. Itness")
    hand.window.session.do(lambda desk, job_id: desk.set_person(job_id, witness))
    hand.wait(lambda: page.model.act_count == before + 1)
    assert page.model.index(0, 2).data() == "person named"


def test_the_trail_passes_the_tester_while_it_is_cut_down(qapp):
    model = TrailModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    model.put([_line("read", to="2.90"), _line("struck", "S1 L1 core 1")])
    model.search("core struck")
    assert [model.line(row).what_text for row in range(model.rowCount())] == ["struck"]
    model.put([])
    assert tester.model() is model


def _check(hand, path):
    hand.press(Qt.Key.Key_C, SHIFTED)
    hand.enter(str(path), "")
    page = hand.window.page("check")
    hand.rest()
    return page


def test_a_file_that_is_not_there_is_said_at_its_field(hand, tmp_path):
    page = _check(hand, tmp_path / "nowhere.pdf")
    assert "cannot be used" in page.file.reason
    assert not page.outcome.isVisible()


def test_a_letter_cannot_be_told(hand, tmp_path):
    (tmp_path / "letter.pdf").write_bytes(b"%PDF-1.7 nothing of ours")
    page = _check(hand, tmp_path / "letter.pdf")
    assert page.outcome.words == "cannot tell"
    assert page.sentences.text()


def test_a_store_in_which_nothing_is_signed_cannot_be_told(hand, tmp_path):
    page = _check(hand, tmp_path / "store.sqlite")
    assert page.outcome.words == "cannot tell"
    assert "Nothing in this store is signed yet." in page.sentences.text()


def test_a_check_without_a_file_asks_for_one(hand):
    hand.press(Qt.Key.Key_C, SHIFTED)
    page = hand.window.page("check")
    page.main.click()
    assert page.file.reason == "Say which file."


def test_escape_leads_back_to_the_worksheet(hand):
    hand.press(Qt.Key.Key_C, SHIFTED)
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.page_id == "worksheet"


def test_the_name_of_a_file_is_told_as_it_is_spelled():
    assert begun("record.p7s is not the file that was issued.").startswith("record.p7s")
    assert begun("the sheet is as it was signed.").startswith("The sheet")
