"""The help says what every field, quantity, preference, test and verdict means, from the rows behind them."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.settings import ROWS
from app.ui.models import glossary
from app.ui.models.glossary import GlossaryModel
from app.ui.models.quantity_words import name_of
from app.ui.shell.fields import FormField
from ctcore.findings import VERDICTS
from ctcore.procedures import PROCEDURES
from ctcore.quantities import QUANTITIES


def named(kind: str) -> set[str]:
    return {entry.name for entry in glossary.entries() if entry.kind == kind}


def test_every_quantity_of_the_core_is_explained_from_its_own_row():
    by_name = {entry.name: entry.words for entry in glossary.entries() if entry.kind == "quantity"}
    said = {row.quantity_id: by_name[name_of(row)] for row in QUANTITIES if row.help_text}
    assert [row.quantity_id for row in QUANTITIES if row.quantity_id not in said] == []
    assert [row.quantity_id for row in QUANTITIES if row.formula_text not in said[row.quantity_id]] == []


def test_every_preference_test_and_verdict_is_explained():
    assert named("setting") == {row.label for row in ROWS if row.name not in glossary.NOT_ASKED}
    assert named("test") == {row.name for row in PROCEDURES}
    assert named("verdict") == set(VERDICTS)


def test_no_entry_is_empty():
    assert [
        entry.name for entry in glossary.entries() if not (entry.name.strip() and entry.words.strip())
    ] == []


@pytest.mark.parametrize("page_id", ["plate", "title"])
def test_every_field_of_a_form_says_what_it_means(hand, page_id):
    hand.window.deeds.do(page_id)
    asked = hand.window.front.findChildren(FormField)
    assert asked
    assert [one.caption for one in asked if not one.line.accessibleDescription()] == []


def test_f1_in_a_field_of_a_form_explains_it_and_the_next_one_shows_the_keys(hand):
    hand.window.deeds.do("plate")
    field = next(one for one in hand.window.front.findChildren(FormField) if one.caption == "Conductor")
    field.line.setFocus(Qt.FocusReason.TabFocusReason)
    hand.press(Qt.Key.Key_F1)
    assert "(Tk + 75)/(Tk + t)" in field._words.text()
    hand.press(Qt.Key.Key_F1)
    assert hand.window.page_id == "keys"


def test_typed_words_cut_the_list_down_to_what_has_all_of_them():
    model = GlossaryModel()
    model.look_for("knee 10 % iec")
    assert 0 < model.rowCount() < len(model.all)
    model.look_for("there is no such word")
    assert model.rowCount() == 0


def test_help_is_reached_by_its_key_and_left_by_escape(hand):
    hand.press(Qt.Key.Key_F1, Qt.KeyboardModifier.ShiftModifier)
    assert hand.window.page_id == "help"
    hand.type("burden")
    assert hand.window.front.model.rowCount() > 0
    assert QApplication.focusWidget() is hand.window.front.search
    hand.window.front.search.clear()
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.page_id == "worksheet"
