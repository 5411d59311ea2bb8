"""What every page shares, and the worksheet among them."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit

from app.ui.pages import keys
from app.ui.shell.menu import build_menu
from app.ui.shell.verbs import VERBS
from app.ui.texts import table, text
from app.ui.worksheet.page_keys import ACTS

PAGES = {"jobs": Qt.Key.Key_J, "plate": Qt.Key.Key_L, "title": Qt.Key.Key_B, "people": Qt.Key.Key_I}


@pytest.mark.parametrize("page_id", PAGES)
def test_a_page_is_reached_by_its_key_and_puts_the_focus_in_itself(hand, page_id):
    hand.control(PAGES[page_id])
    page = hand.window.page(page_id)
    assert hand.window.page_id == page_id
    assert page.isAncestorOf(QApplication.focusWidget())


@pytest.mark.parametrize("page_id", PAGES)
def test_everything_to_type_in_or_press_has_a_name(hand, page_id):
    hand.control(PAGES[page_id])
    page = hand.window.page(page_id)
    parts = [*page.findChildren(QLineEdit), *page.findChildren(QAbstractButton)]
    nameless = [
        part
        for part in parts
        if part.isVisible() and not QAccessible.queryAccessibleInterface(part).text(QAccessible.Text.Name)
    ]
    assert parts
    assert nameless == []


def test_escape_goes_back_to_the_worksheet(hand):
    hand.control(Qt.Key.Key_I)
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.page_id == "worksheet"


def test_f1_shows_the_keys_and_goes_back(hand):
    hand.press(Qt.Key.Key_F1)
    assert hand.window.page_id == "keys"
    hand.press(Qt.Key.Key_F1)
    assert hand.window.page_id == "worksheet"


def test_every_verb_and_every_key_has_its_words():
    named = {f"verb.{verb.verb_id}" for verb in VERBS} | {
        f"keys.{name}" for _, name in (*keys.FIELD, *keys.REVIEW, *keys.ELSEWHERE)
    }
    assert named | {f"keys.{act.name}" for act in ACTS} <= set(table())


def test_the_page_of_keys_names_every_key_of_the_worksheet_and_no_other():
    shown = {key for keys_of_act, _ in keys.worksheet_rows() for key in keys_of_act.split()}
    signs = {key for key, _ in keys.FIELD}
    assert shown - signs == {act.key for act in ACTS} - signs
    assert len({act.key for act in ACTS}) == len(ACTS)


def test_all_keys_can_be_taken_along_as_a_text(hand):
    hand.press(Qt.Key.Key_F1)
    hand.window.front.copy.click()
    lines = QGuiApplication.clipboard().text().splitlines()
    assert "Ctrl+Shift+G\twhat the finding rests on" in lines
    assert len(lines) > len(VERBS) + 20


def test_what_has_a_key_at_the_test_in_hand_stands_in_the_menu_too(hand):
    menu = build_menu(hand.window.deeds, hand.window)
    words = [action.text() for action in menu.actions()[0].menu().actions()]
    menu.deleteLater()
    assert "Strike the row, with a reason\tDel" in words


def test_a_small_screen_shows_one_part_at_a_time_and_the_read_back_stays(hand):
    hand.window.resize(683, 384)
    page = hand.window.page("worksheet").page
    hand.window.go_to(hand.window.place[0], "excitation")
    seen = {}
    for part in ("readings", "plot", "findings"):
        page.choose_part(part)
        seen[part] = (
            page.body.method.isVisible(),
            page.body.plot_place.isVisible(),
            page.read_back.isVisible(),
        )
    assert seen == {
        "readings": (True, False, True), "plot": (False, True, True), "findings": (False, False, True),
    }  # fmt: skip
    assert page.body.findings.isVisible()


def test_keying_on_a_small_screen_comes_back_to_the_readings(hand):
    hand.window.resize(683, 384)
    page = hand.window.page("worksheet").page
    page.choose_part("findings")
    page.cursor_in_hand.focus_row(0)
    assert (page.body.part, page.body.table.isVisible()) == ("readings", True)


def test_a_wide_window_shows_all_parts_again(hand):
    hand.window.resize(683, 384)
    hand.window.page("worksheet").page.choose_part("findings")
    hand.window.resize(1366, 768)
    hand.rest()
    page = hand.window.page("worksheet").page
    assert (page.body.part, page.body.method.isVisible(), page.parts_strip.isVisible()) == ("", True, False)


def test_the_plate_is_one_touch_away_on_a_small_screen(hand):
    hand.window.resize(683, 384)
    hand.window.page("worksheet").page.parts_strip.buttons["plate"].click()
    assert hand.window.page_id == "plate"


def test_no_key_stands_for_two_verbs():
    used = [verb.key for verb in VERBS if verb.key]
    assert len(used) == len(set(used))


def test_a_click_opens_a_core_in_the_sets_at_once(hand):
    sets = hand.window.page("worksheet").sets
    index = sets.model.index(1, 3)
    center: QPoint = sets.grid.visualRect(index).center()
    QTest.mouseClick(sets.grid.viewport(), Qt.MouseButton.LeftButton, pos=center)
    assert hand.window.title.cell_text("set_and_ct").startswith("S1 line, L3")


def test_f6_goes_round_the_parts_of_the_page(hand):
    worksheet = hand.window.page("worksheet")
    seen = []
    for _ in range(4):
        hand.press(Qt.Key.Key_F6)
        seen.append(worksheet.sets.grid.hasFocus())
    assert seen.count(True) == 1


def test_night_and_day_go_round_and_are_kept(hand):
    hand.press(Qt.Key.Key_F9)
    assert hand.window.settings.get("theme") == "night"
    assert not hand.window.grab().isNull()
    hand.press(Qt.Key.Key_F9)
    hand.press(Qt.Key.Key_F9)
    assert hand.window.settings.get("theme") == "day"


def test_a_narrow_window_folds_the_sets_and_f8_brings_them(hand):
    hand.window.resize(683, 384)
    worksheet = hand.window.page("worksheet")
    hand.rest()
    assert worksheet.sets.isHidden()
    hand.press(Qt.Key.Key_F8)
    assert worksheet.sets.grid.hasFocus()


def test_the_status_line_says_what_the_job_is_judged_by(hand):
    assert text("limit_set.tradition_1_mohm") in hand.window.status.limits.text
