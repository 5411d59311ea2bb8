"""Two people at two windows, each with a store: handed in signed, sent back, approved, issued, checked.

All of it by key events; the readings and the people are invented.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.commands import run
from app.jobstore import Store
from app.record import envelope
from app.settings import Settings
from app.ui import theme
from app.ui.dialogs.believe import BelieveDialog
from app.ui.dialogs.frame import open_dialog
from app.ui.shell.session import STORE_NAME
from tests.app.desk import making
from tests.app.ui.desk_of_window import Hand

ENTER, ALT = Qt.Key.Key_Return, Qt.KeyboardModifier.AltModifier
SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
TESTER, APPROVER = "T. Adder", "M. Oskarrin"
PASSPHRASES = {TESTER: "four quiet words here", APPROVER: "five other words over there"}


@pytest.fixture(autouse=True)
def _cheap_envelopes(monkeypatch):
    monkeypatch.setattr(envelope, "MEMORY_KIB", 64)


@pytest.fixture
def hands(qtbot, qapp, tmp_path):
    theme.load_fonts()
    theme.apply(qapp)
    _make_job(tmp_path / TESTER)
    made = {name: Hand(qtbot, tmp_path / name, **_answers(name)) for name in (TESTER, APPROVER)}
    for hand in made.values():
        hand.open_store()
    yield made
    for hand in made.values():
        hand.close()
        hand.window.deleteLater()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def test_a_job_goes_to_and_fro_between_two_people_until_its_sheet_is_genuine(
    hands, tmp_path, monkeypatch, capsys
):
    tester, approver = hands[TESTER], hands[APPROVER]
    for name, hand in hands.items():
        _make_key(hand, PASSPHRASES[name])
    _open_job(tester)
    first, answer = tmp_path / "first.json", tmp_path / "answer.json"
    _hand_in(tester, first)
    assert "with M. Oskarrin since" in tester.window.held.words.text
    assert tester.window.session.view.read_only_reason is not None

    _take_in_from_a_stranger(approver, first, tester)
    assert approver.window.page_id == "review"
    page = approver.window.page("review")
    approver.wait(lambda: page.detail.model.rowCount())
    assert page.foot.sentence.text == "Approve is not possible yet: 1 exception waits for a decision."
    _to(approver)
    approver.control(Qt.Key.Key_B)
    approver.press(ENTER)
    approver.enter("clean link 7, then measure again")
    approver.wait(lambda: open_dialog() is None and page.foot.main_act == "send_back")
    approver.press(ENTER, Qt.KeyboardModifier.ControlModifier)
    _sign(approver, answer)
    assert approver.window.session.view.job.state == "sent_back"

    _take_in_from_a_stranger(tester, answer, approver)
    assert tester.window.session.view.job.state == "sent_back"
    assert tester.window.held.words.text.startswith("This job was sent back to you")
    _correct(tester)
    second = tmp_path / "second.json"
    _hand_in(tester, second)

    _take_in(approver, second)
    approver.wait(lambda: page.foot.main_act == "approve" and page.state.revision.revision == 2)
    _to(approver)
    approver.press(ENTER, Qt.KeyboardModifier.ControlModifier)
    _sign(approver)
    approver.wait(lambda: page.foot.main_act == "issue")
    approver.press(ENTER, Qt.KeyboardModifier.ControlModifier)
    pack = tmp_path / "issued.zip"
    _sign(approver, pack)
    assert approver.window.session.view.job.state == "issued"

    _take_in(tester, pack)
    tester.wait(lambda: tester.window.session.view.job.state == "issued")
    sheet = tmp_path / "sheet.pdf"
    _write_sheet(tester, sheet)
    monkeypatch.setenv("CORELEAF_HOME", str(tester.folder))
    assert run(["verify", str(sheet), "--pack", str(pack)]) == 0
    assert capsys.readouterr().out.startswith("Genuine:")
    assert run(["verify", str(sheet)]) == 0
    _check(tester, sheet)
    assert tester.window.page("check").outcome.words == "genuine"
    stamped = tmp_path / "stamped.pdf"
    stamped.write_bytes(sheet.read_bytes() + b"% stamped")
    assert run(["verify", str(stamped)]) == 1
    _check(tester, stamped)
    assert tester.window.page("check").outcome.words == "altered"


def _answers(name: str) -> dict[str, str]:
    return {
        "organisation_text": "Rill and Bank Testing",
        "organisation_address_text": "Weir Lane 2, Rillford",
        "organisation_mark_text": "RBT",
        "person_name_text": name,
    }


def _make_job(folder: Path) -> None:
    """One core with a resistance 0.53 ohm over its plate; everything else is complete."""
    settings = Settings.load(folder)
    settings.change(**_answers(TESTER))
    store = Store.open(folder / STORE_NAME)
    desk = making.Desk(store, settings)
    desk.close_job(making.complete_job(desk, ohms="2.90"))
    store.close()


def _to(hand: Hand) -> None:
    """The other window is in front until this one is taken."""
    hand.window.activateWindow()
    QApplication.processEvents()
    if QApplication.focusWidget() is None or QApplication.focusWidget().window() is not hand.window:
        hand.window.front.first_focus()
    hand.rest()


def _make_key(hand: Hand, passphrase: str) -> None:
    _to(hand)
    hand.press(Qt.Key.Key_K, SHIFTED)
    hand.press(Qt.Key.Key_M, ALT)
    hand.enter(passphrase, passphrase)
    hand.wait(lambda: open_dialog() is None and hand.window.page("my_key").state.mine is not None)
    hand.press(Qt.Key.Key_Escape)


def _open_job(hand: Hand) -> None:
    _to(hand)
    hand.control(Qt.Key.Key_J)
    hand.press(ENTER)
    hand.wait(lambda: hand.window.page_id == "worksheet")


def _hand_in(hand: Hand, path: Path) -> None:
    _to(hand)
    hand.control(Qt.Key.Key_H)
    assert open_dialog().signed
    hand.press(ENTER)
    hand.press(ENTER)
    hand.press(ENTER)
    for words in (APPROVER, str(path), PASSPHRASES[TESTER]):
        hand.focus.selectAll()
        hand.enter(words)
    hand.wait(lambda: hasattr(open_dialog(), "digest_text"))
    assert path.exists()
    hand.press(Qt.Key.Key_Escape)


def _take_in(hand: Hand, path: Path) -> None:
    _to(hand)
    hand.control(Qt.Key.Key_O)
    hand.enter(str(path))
    hand.wait(lambda: open_dialog() is None)


def _take_in_from_a_stranger(hand: Hand, path: Path, other: Hand) -> None:
    """The file is refused; its signer is compared by what that person reads out, and believed."""
    _to(hand)
    hand.control(Qt.Key.Key_O)
    hand.enter(str(path))
    dialog = open_dialog()
    hand.wait(lambda: dialog.who.isVisible())
    assert "Nobody known here vouches for the key of" in dialog.field.reason
    hand.press(Qt.Key.Key_W, ALT)
    hand.wait(lambda: isinstance(open_dialog(), BelieveDialog))
    hand.enter("0000 0000 0000 0000")
    assert open_dialog().end.reason.startswith("That is another fingerprint")
    hand.focus.selectAll()
    read_out = other.window.page("my_key").state.mine.fingerprint_groups.split()[-4:]
    hand.enter(" ".join(read_out))
    hand.wait(lambda: open_dialog() is None)


def _sign(hand: Hand, path: Path | None = None) -> None:
    dialog = open_dialog()
    if path is not None:
        dialog.path.line.setFocus()
        hand.focus.selectAll()
        hand.type(str(path))
    dialog.focus_passphrase()
    hand.enter(PASSPHRASES[APPROVER])
    hand.wait(lambda: open_dialog() is None)


def _correct(hand: Hand) -> None:
    """Take the value that was sent back again: over the old one, which stays in the record."""
    _to(hand)
    QTest.mouseClick(hand.window.held.buttons["review"], Qt.MouseButton.LeftButton)
    hand.wait(lambda: hand.window.page_id == "review" and hand.window.page("review").foot.main_act == "open")
    hand.wait(lambda: hand.window.page("review").lines.hasFocus())
    hand.press(ENTER)
    assert hand.window.place[1] == "resistance"
    desk, job_id = hand.window.session.desk, hand.window.session.job_id
    hand.window.session.do(lambda _desk, _id: desk.key(job_id, making.ohms_cell(desk, job_id), "2.10"))
    hand.rest()


def _write_sheet(hand: Hand, path: Path) -> None:
    _to(hand)
    hand.press(Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    hand.enter(str(path))
    hand.wait(lambda: hasattr(open_dialog(), "path"))
    hand.press(Qt.Key.Key_Escape)


def _check(hand: Hand, path: Path) -> None:
    hand.press(Qt.Key.Key_C, SHIFTED)
    page = hand.window.page("check")
    page.first_focus()
    hand.focus.selectAll()
    hand.enter(str(path))
    hand.press(ENTER)
    hand.wait(lambda: page.outcome.isVisible())
    assert shutil.which("openssl") is not None
