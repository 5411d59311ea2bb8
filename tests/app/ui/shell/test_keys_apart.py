"""No two acts of one place share a key: read from the acts, verbs and buttons themselves."""

from __future__ import annotations

from collections import Counter

import pytest
from PySide6.QtGui import QKeySequence

from app.ui.dialogs.frame import open_dialog
from app.ui.shell.key_button import VerbButton
from app.ui.shell.verbs import VERBS
from app.ui.window import PAGES
from app.ui.worksheet.page_keys import ACTS
from tests.app.ui.desk_of_window import OpenHand

# The window does these everywhere; on the worksheet the act of the same key is the same thing done there.
SAME_THING = {"undo": "Ctrl+Z", "redo": "Ctrl+Y", "f6": "F6"}
DIALOGS = (
    "new_job", "take_in", "training", "add_set", "plates_in", "hand_in", "sheet", "field_forms", "give_out",
    "find", "attached", "day", "preferences", "who", "diagnostics", "notices", "revise", "void",
)  # fmt: skip


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, tmp_path)
    yield made
    made.close()


def shared(keys):
    return [key for key, count in Counter(keys).items() if count > 1]


def plain(key):
    return QKeySequence(key).toString()


def answered(widget):
    """The keys that buttons inside a widget answer to."""
    buttons = widget.findChildren(VerbButton)
    return [plain(one.answered_key) for one in buttons if one.answered_key]


def test_no_two_verbs_of_the_window_share_a_key():
    assert shared(plain(verb.key) for verb in VERBS if verb.key) == []


def test_no_two_acts_of_the_worksheet_share_a_key():
    assert shared(plain(act.key) for act in ACTS) == []


def test_an_act_of_the_worksheet_takes_no_key_of_the_window():
    of_window = {plain(verb.key) for verb in VERBS if verb.key}
    both = {act.name: act.key for act in ACTS if plain(act.key) in of_window}
    assert both == SAME_THING


@pytest.mark.parametrize("page_id", sorted(PAGES))
def test_no_two_buttons_of_a_page_share_a_key_or_take_one_of_the_window(hand, page_id):
    keys = answered(hand.window.page(page_id))
    assert shared(keys) == []
    assert set(keys) & {plain(verb.key) for verb in VERBS if verb.key} == set()


@pytest.mark.parametrize("verb_id", DIALOGS)
def test_no_two_buttons_of_a_dialog_share_a_key(hand, verb_id):
    hand.window.deeds.do(verb_id)
    hand.rest()
    dialog = open_dialog()
    keys = answered(dialog) if dialog is not None else []
    if dialog is not None:
        dialog.done(0)
    assert shared(keys) == []
