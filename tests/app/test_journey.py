"""A whole job typed through the real window by key events, handed in, and found again in the PDF.

The readings are invented; what is checked is that the figures on the screen are those on the paper.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QModelIndex, Qt
from PySide6.QtWidgets import QApplication

from app.ui import theme
from app.ui.dialogs.frame import open_dialog
from app.ui.widgets.fieldedit import FieldEdit
from tests.app.ui.desk_of_window import Hand

ENTER = Qt.Key.Key_Return
ALT = Qt.KeyboardModifier.AltModifier
PROCEDURES = ("insulation", "resistance", "ratio", "excitation")


@dataclass(frozen=True)
class Phase:
    name: str
    serial: str
    insulation_mohm: str
    resistances_ohm: tuple[str, str]
    v_primary_mv: tuple[str, str]
    points: tuple[tuple[str, str], ...]


def _points(*milliamperes: str) -> tuple[tuple[str, str], ...]:
    volts = ("50.0", "100.0", "200.1", "300.2", "350.4", "400.1", "425.3", "450.2", "470.6")
    return tuple(zip(volts, milliamperes, strict=True))


PHASES = (
    Phase("L1", "K-7101", "1840", ("1.204", "2.411"), ("333.3", "166.7"),
          _points("6.02", "10.1", "16.3", "22.4", "26.2", "36.5", "50.8", "91.3", "172")),
    Phase("L2", "K-7102", "1710", ("1.209", "2.418"), ("333.4", "166.6"),
          _points("6.11", "10.3", "16.5", "22.7", "26.6", "37.1", "51.9", "93.6", "176")),
    Phase("L3", "K-7103", "1650", ("1.201", "2.406"), ("333.3", "166.7"),
          _points("5.95", "10.0", "16.1", "22.2", "25.9", "36.0", "49.9", "89.8", "169")),
)  # fmt: skip


@pytest.fixture
def hand(qtbot, qapp, tmp_path):
    theme.load_fonts()
    theme.apply(qapp)
    made = Hand(qtbot, tmp_path)
    yield made
    made.close()
    made.window.deleteLater()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def test_a_job_typed_in_stands_on_the_sheet_with_the_same_figures(hand, tmp_path):
    hand.open_store()
    _start_job(hand)
    _fill_plate(hand)
    hand.control(Qt.Key.Key_W)
    for index, phase in enumerate(PHASES):
        _key_phase(hand, phase, first=index == 0)
    _strike_a_slip(hand)
    _take_back_a_slip(hand)
    on_screen = _figures_on_screen(hand)
    sheet = tmp_path / "sheet.pdf"
    digest_text = _hand_in(hand, sheet)
    on_paper = _text_of(sheet)
    assert len(on_screen) > 40
    assert {figure for figure in on_screen if figure not in on_paper} == set()
    assert not re.search(r"[0-9a-f]{8}-[0-9a-f]{4}-", on_paper)
    groups = digest_text.split()
    assert " ".join(groups[:8]) in on_paper
    assert " ".join(groups[8:]) in on_paper


def _start_job(hand: Hand) -> None:
    hand.control(Qt.Key.Key_N)
    hand.enter("J-2041", "Feeder before energising", "Tarnbeck, bay 2")
    hand.press(ENTER)
    hand.press(ENTER)
    hand.wait(lambda: open_dialog() is not None and hasattr(open_dialog(), "cores"))
    hand.enter("S1 line", "", "300", "1", "5P20 15VA", "", "", "")
    hand.wait(lambda: open_dialog() is None and hand.window.page_id == "plate")


def _fill_plate(hand: Hand) -> None:
    hand.press(Qt.Key.Key_R, ALT)
    hand.enter("1S1-1S3", "600", "", "")
    hand.wait(lambda: open_dialog() is None)
    form = hand.window.page("plate").form
    hand.window.page("plate").first_focus()
    hand.enter("", "busbar", *(phase.serial for phase in PHASES))
    while form.key_of(hand.focus)[1] != "r_winding_75degc_plate_ohm":
        hand.press(ENTER)
    hand.enter("3.0")
    hand.press(Qt.Key.Key_S, ALT)
    cts = hand.window.session.view.job.positions[0].cts
    assert [ct.serial_text for ct in cts] == [phase.serial for phase in PHASES]
    assert [len(ct.cores[0].taps) for ct in cts] == [2, 2, 2]
    assert {ct.cores[0].r_winding_75degc_plate_ohm for ct in cts} == {3.0}


def _key_phase(hand: Hand, phase: Phase, *, first: bool) -> None:
    if not first:
        hand.press(Qt.Key.Key_Right, ALT)
        hand.press(Qt.Key.Key_1, ALT)
    _keys(hand, ("t_winding_degc", "20"), ("t_winding_source", "1"))
    _keys(hand, ("v_test_v", "500"), ("insulation_resistance_ohm", phase.insulation_mohm))
    hand.press(Qt.Key.Key_F12)
    _keys(hand, ("leads", "1"), ("t_winding_degc", "20"), ("t_winding_source", "1"))
    for ohms in phase.resistances_ohm:
        _keys(hand, ("r_measured_ohm", ohms), ("i_test_a", "0.5"), ("settle_s", "20"))
    hand.press(Qt.Key.Key_F12)
    _keys(hand, ("ratio_method", "1"))
    for millivolts in phase.v_primary_mv:
        _keys(hand, ("v_secondary_v", "100.0"), ("v_primary_v", millivolts), ("i_excitation_a", ""))
        _keys(hand, ("phase_displacement_arcmin", ""), ("polarity_read", "1"))
    hand.press(Qt.Key.Key_F12)
    _keys(hand, ("tap_id", "2"), ("frequency_hz", "50"), ("voltage_response", "1"), ("current_response", "2"))
    _keys(hand, ("demagnetised", "1"), ("primary_state", "1"), ("other_cores", "3"), ("links", "1"))
    for volts, milliamperes in phase.points:
        _keys(hand, ("v_excitation_v", volts), ("i_excitation_a", milliamperes))


def _keys(hand: Hand, *answers: tuple[str, str]) -> None:
    """Answer the fields in the order in which Enter comes to them; cautions are read on the way."""
    for quantity_id, words in answers:
        _go_to(hand, quantity_id)
        hand.type(words)
        hand.press(ENTER)


def _go_to(hand: Hand, quantity_id: str) -> None:
    """Enter passes over fields that need no answer here, never back to one that was passed."""
    passed: list[str] = []
    while (here := _quantity(hand)) != quantity_id and here not in passed:
        passed.append(here)
        hand.press(ENTER)
    assert here == quantity_id, f"{quantity_id} was not reached by way of {passed}"


def _quantity(hand: Hand) -> str:
    _read_cautions(hand)
    field = hand.focus
    assert isinstance(field, FieldEdit)
    assert field.quantity is not None
    return field.quantity.quantity_id


def _read_cautions(hand: Hand) -> None:
    caution = hand.window.page("worksheet").page.body.caution
    while caution.current is not None and hand.focus is caution:
        hand.press(ENTER)


def _strike_a_slip(hand: Hand) -> None:
    _keys(hand, ("v_excitation_v", "440.0"), ("i_excitation_a", "70.0"))
    hand.press(Qt.Key.Key_Up)
    hand.press(Qt.Key.Key_Delete)
    hand.press(Qt.Key.Key_4)
    struck = [entry for entry in hand.window.session.view.job.readings if entry.struck]
    assert {entry.reason_text for entry in struck} == {"volts fell back"}


def _take_back_a_slip(hand: Hand) -> None:
    hand.press(Qt.Key.Key_End)
    _keys(hand, ("v_excitation_v", "47.16"))
    hand.control(Qt.Key.Key_Z)
    readings = hand.window.session.view.job.readings
    assert [entry.as_typed_text for entry in readings[-2:]] == ["47.16", ""]
    assert readings[-1].withdrawn


def _figures_on_screen(hand: Hand) -> set[str]:
    """Every figure of findings and rows, over all phases and steps."""
    found: set[str] = set()
    page = hand.window.page("worksheet").page
    for _ in PHASES:
        for step in (Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_3, Qt.Key.Key_4):
            hand.press(step, ALT)
            findings, rows = page.body.findings.model(), page.body.table.model()
            found |= _figures(findings, 1) | _figures(rows, rows.columnCount(QModelIndex()))
        hand.press(Qt.Key.Key_Left, ALT)
    return found


def _figures(model, columns: int) -> set[str]:
    texts = [
        str(model.index(row, column).data() or "")
        for row in range(model.rowCount(QModelIndex()))
        for column in range(columns)
    ]
    # What is in hand is said on the screen alone; the sheet prints value and limit.
    kept = [re.sub(r"[\d.]+\W*\S+ in hand", "", words) for words in texts]
    return {figure for words in kept for figure in re.findall(r"\d+\.\d+", words)}


def _hand_in(hand: Hand, sheet: Path) -> str:
    hand.control(Qt.Key.Key_H)
    hand.press(ENTER)
    hand.press(ENTER)
    hand.wait(lambda: hasattr(open_dialog(), "digest_text"))
    digest_text = open_dialog().digest_text
    assert hand.window.session.view.job.state == "handed_in"
    hand.press(ENTER)
    hand.wait(lambda: hasattr(open_dialog(), "path_chosen"))
    hand.enter(str(sheet))
    hand.wait(lambda: hasattr(open_dialog(), "path"))
    hand.press(Qt.Key.Key_Escape)
    return digest_text


def _text_of(sheet: Path) -> str:
    program = shutil.which("pdftotext")
    assert program is not None, "poppler-utils is missing"
    done = subprocess.run([program, "-layout", str(sheet), "-"], capture_output=True, text=True, check=True)
    assert QApplication.instance() is not None
    return done.stdout
