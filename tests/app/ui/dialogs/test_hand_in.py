from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.record import envelope
from app.ui.dialogs.frame import open_dialog
from app.ui.models.reasons import ReasonsModel
from tests.app.desk import making

PASSPHRASE = "four quiet words here"


@pytest.fixture(autouse=True)
def _cheap_envelopes(monkeypatch):
    monkeypatch.setattr(envelope, "MEMORY_KIB", 64)


def _with_key(hand):
    hand.window.session.fetch(lambda desk: desk.make_key(PASSPHRASE), done=lambda _line: None)
    hand.rest()


def _complete(hand):
    """Put a complete job of one core on the table."""
    desk = hand.window.session.desk
    hand.window.session.fetch(
        lambda desk: making.complete_job(desk, ohms="2.90"), done=hand.window.session.open_job
    )
    hand.wait(lambda: hand.job.header.number_text == "77")
    hand.rest()
    assert desk is not None


def _hand_in(hand):
    hand.control(Qt.Key.Key_H)
    return open_dialog()


def test_without_a_key_handing_in_says_that_it_only_freezes(hand):
    dialog = _hand_in(hand)
    assert dialog.way is None
    assert dialog.plainly.text().startswith("You have no key here, so this freezes the revision")
    dialog.reject()


def test_what_is_missing_is_listed_and_leads_to_its_place(hand):
    _with_key(hand)
    page = hand.window.page("worksheet")
    address = page.address_here()
    core_id = hand.window.place[0]
    cell = making.Address(core_id, "resistance", 1, "method", "t_winding_degc")
    hand.window.session.do(lambda desk, job_id: desk.key(job_id, cell, "2o"))
    hand.rest()
    dialog = _hand_in(hand)
    model = dialog.reasons.model()
    rows = [model.index(row, 0).data() for row in range(model.rowCount())]
    wanted = next(row for row, words in enumerate(rows) if "“2o” is kept, but it gives no value" in words)
    assert dialog.reasons.isVisible()
    assert model.index(wanted, 1).data() == "go there"
    dialog.reasons.setFocus()
    dialog.reasons.setCurrentIndex(model.index(wanted, 0))
    hand.press(Qt.Key.Key_Return)
    assert open_dialog() is None
    assert hand.window.place == (core_id, "resistance")
    assert address is None or address.core_id == core_id


def test_with_a_key_one_can_still_freeze_and_is_told_what_that_is(hand):
    _with_key(hand)
    _complete(hand)
    dialog = _hand_in(hand)
    before = dialog.plainly.text()
    hand.press(Qt.Key.Key_Right)
    after, shown = dialog.plainly.text(), dialog.passphrase.isVisible()
    hand.press(Qt.Key.Key_Return)
    hand.press(Qt.Key.Key_Return)
    hand.press(Qt.Key.Key_Return)
    hand.wait(lambda: hasattr(open_dialog(), "digest_text"))
    hand.press(Qt.Key.Key_Escape)
    assert before.startswith("Handing in signs this revision with your key")
    assert after.startswith("Handing in freezes this revision")
    assert not shown
    assert not hand.window.session.view.revisions[-1].signed


def test_a_wrong_passphrase_hands_nothing_in_and_keeps_what_was_typed(hand, tmp_path):
    _with_key(hand)
    _complete(hand)
    dialog, path = _hand_in(hand), tmp_path / "signed.json"
    dialog.to_whom.line.setText("M. Oskarrin")
    dialog.path.line.setText(str(path))
    dialog.passphrase.line.setText("five loud words, wrong")
    dialog.main.click()
    hand.wait(lambda: dialog.trouble.text())
    said, to_whom = dialog.trouble.text(), dialog.to_whom.value()
    dialog.reject()
    assert "try 1 of 10" in said
    assert to_whom == "M. Oskarrin"
    assert hand.job.state == "being_tested"
    assert not path.exists()


def test_while_it_is_with_somebody_every_page_of_the_job_says_so_and_takes_nothing(hand, tmp_path):
    _with_key(hand)
    _complete(hand)
    dialog = _hand_in(hand)
    dialog.to_whom.line.setText("M. Oskarrin")
    dialog.path.line.setText(str(tmp_path / "signed.json"))
    dialog.passphrase.line.setText(PASSPHRASE)
    dialog.main.click()
    hand.wait(lambda: hasattr(open_dialog(), "digest_text"))
    hand.press(Qt.Key.Key_Escape)
    for verb in ("worksheet", "plate", "title", "people", "trail"):
        hand.window.deeds.do(verb)
        hand.rest()
        assert hand.window.held.isVisible(), verb
        assert hand.window.held.words.text.startswith("This job is with M. Oskarrin since "), verb
    assert hand.window.page("title").fields["title_text"].locked
    assert hand.window.held.buttons["take_back"].isVisible()
    hand.window.held.buttons["take_back"].click()
    hand.rest()
    hand.enter("a lead was on the wrong terminal")
    hand.wait(lambda: hand.job.state == "being_tested")
    assert not hand.window.held.isVisible()


def test_reasons_without_a_place_lead_nowhere(qapp):
    from app.desk.queue import Reason

    model = ReasonsModel([Reason("there are no readings yet")])
    assert model.index(0, 0).data() == "There are no readings yet"
    assert model.index(0, 1).data() == ""
