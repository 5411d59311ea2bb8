"""Links and earth as found and as left, keyed."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt


@pytest.fixture
def links(page, desk, acknowledged, cores):
    """The page open on the links of the first core, the cursor in the first row."""
    page.open(desk.view(acknowledged.job_id), cores[0], "links")
    page.cursor_in_hand.focus_row(0)
    return page


def _states(page) -> list[tuple[str, str, str]]:
    return [(row.words, row.fields[0].shown, row.fields[1].shown) for row in page.sheet.rows]


def test_first_letters_say_the_state_of_every_link_and_of_the_earth(links, type_keys):
    type_keys("cl\n\n\n" * 3)

    assert _states(links) == [
        ("1S1 link", "closed", ""), ("1S2 link", "closed", ""), ("Secondary earth", "closed", ""),
    ]  # fmt: skip
    assert {row.verdict for row in links.sheet.rows} == {"not tested"}


def test_a_link_left_open_without_a_word_is_outside_and_its_reason_makes_it_a_question(
    links, type_keys, press
):
    type_keys("cl\nop\n\n")
    assert links.sheet.rows[0].verdict == "outside"
    press(Qt.Key.Key_Up)
    links.cursor_in_hand.focus_row(2)
    type_keys("by drawing rev. C\n")
    assert links.sheet.rows[0].verdict == "refer"
