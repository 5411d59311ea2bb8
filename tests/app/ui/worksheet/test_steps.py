"""The strip of steps: every test there is still finds its place on a small screen."""

from __future__ import annotations

import pytest

from app.ui.worksheet.steps import StepLine, StepsStrip
from ctcore.procedures import PROCEDURES


def every_step(open_at: int) -> tuple[StepLine, ...]:
    return tuple(
        StepLine(test.procedure_id, number, test.short_name, "within", "within", number == open_at)
        for number, test in enumerate(PROCEDURES, start=1)
    )


@pytest.fixture
def strip(qtbot):
    made = StepsStrip()
    qtbot.addWidget(made)
    made.show_lines(every_step(1))
    made.resize(1150, 60)
    made.show()
    return made


@pytest.mark.parametrize("wide", [683, 1150])
def test_every_test_of_a_core_fits_and_the_open_one_is_read_in_full(qtbot, strip, wide):
    strip.resize(wide, 60)
    strip.show_lines(every_step(7))
    qtbot.waitUntil(lambda: strip.childrenRect().width() == wide)
    (here,) = [button for button in strip.children() if getattr(button, "line", None) and button.line.is_open]
    assert here.width() >= here.wanted_px
    assert strip.minimumSizeHint().width() <= 760


def test_where_there_is_room_every_step_has_its_word_and_no_more_than_its_share(qtbot, strip):
    strip.resize(2400, 60)
    strip.show_lines(every_step(7))
    (here,) = [button for button in strip.children() if getattr(button, "line", None) and button.line.is_open]
    assert here.minimumWidth() < here.wanted_px
