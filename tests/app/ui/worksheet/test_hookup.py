"""The hook-up beside the readings, by keys alone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication


@pytest.fixture
def panel(excitation, press):
    press(Qt.Key.Key_F11)
    return excitation.plot


def _leads(panel) -> list[str]:
    model = panel.leads
    return [model.index(row, 0).data() for row in range(model.rowCount())]


def test_f11_shows_the_hook_up_and_goes_to_its_list(excitation, panel):
    assert panel.isVisible()
    assert QApplication.focusWidget() is panel.table
    assert panel.heading.text == f"Hook-up: 0 of {len(panel.leads.lines)} landed"
    assert "1S1" in panel.drawing.accessibleName()
    assert not excitation.body.findings.isVisible()


def test_space_ticks_the_lead_in_hand_and_goes_to_the_next(excitation, panel, press, desk, job):
    press(Qt.Key.Key_Space)
    press(Qt.Key.Key_Space)

    assert [entry.text for entry in desk.view(job.job_id).job.landings] == [
        "test instruments to earth bar", "1S1 to link to the relay open",
    ]  # fmt: skip
    assert [words[:1] for words in _leads(panel)[:3]] == ["☑", "☑", "☐"]
    assert "T.A." in _leads(panel)[0]
    assert panel.table.currentIndex().row() == 2
    assert QApplication.focusWidget() is panel.table


def test_a_tick_is_taken_off_by_the_same_key(panel, press):
    press(Qt.Key.Key_Space)
    press(Qt.Key.Key_Up)
    press(Qt.Key.Key_Space)

    assert _leads(panel)[0] == "☐"
    assert panel.table.currentIndex().row() == 0


def test_escape_goes_back_to_the_readings_and_f11_to_the_plot(excitation, panel, press):
    press(Qt.Key.Key_Escape)
    assert excitation.cursor_in_hand.where()[0] in ("method", "row")
    press(Qt.Key.Key_F11)
    assert excitation.views.row.view_id == "curve"
    assert not panel.isVisible()
    assert excitation.body.findings.isVisible()


def test_the_list_is_read_out_line_by_line(panel, press):
    press(Qt.Key.Key_Down)

    assert panel.table.accessibleDescription().startswith("1S1 to link to the relay open, not landed.")


def test_the_sister_phase_begins_unticked(excitation, panel, press):
    press(Qt.Key.Key_Space)
    press(Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)

    assert excitation.plot is panel
    assert {words[:1] for words in _leads(panel)} == {"☐"}


def test_a_job_that_is_locked_shows_its_ticks_and_takes_none(
    excitation, panel, press, desk, job, monkeypatch
):
    monkeypatch.setattr(type(excitation), "locked", property(lambda _self: True))
    press(Qt.Key.Key_Space)

    assert desk.view(job.job_id).job.landings == ()
