"""Comments pinned to a value: marked on the plot and in the table, and reached by keys."""

from __future__ import annotations

import dataclasses

import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtWidgets import QApplication

from app.desk import Address
from app.ui import theme
from app.ui.plots.pins import Pin, balloon_box
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.pinned import pinned, pins
from app.ui.worksheet.sheet import sheet
from app.ui.worksheet.views import views_of
from ctcore.job import CommentStep

VOLTS = (20.0, 80.0, 160.0, 220.0, 240.0, 255.0, 270.0, 285.0, 300.0)
MILLIAMPERES = (3.4, 9.1, 14.4, 18.3, 20.5, 24.3, 32.0, 51.0, 90.0)


@pytest.fixture
def commented(desk, job, cores):
    """A curve of the first core with a comment on the current of its third point."""
    entries = [
        (Address(cores[0], "excitation", 1, str(row), name), str(value))
        for row, pair in enumerate(zip(VOLTS, MILLIAMPERES, strict=True), start=1)
        for name, value in zip(("v_excitation_v", "i_excitation_a"), pair, strict=True)
    ]
    desk.key_many(job.job_id, entries)
    comment(desk, job, cores[0], "excitation", "i_excitation_a", "3", "Was this point read twice?")
    return job


def comment(desk, job, core_id: str, procedure_id: str, quantity_id: str, row: str, words: str) -> None:
    line = next(
        one for one in desk.lines(job.job_id) if (one.core_id, one.procedure_id) == (core_id, procedure_id)
    )
    reading = next(
        one
        for one in desk.view(job.job_id).job.readings
        if (one.core_id, one.procedure_id, one.row, one.quantity_id)
        == (core_id, procedure_id, row, quantity_id)
    )
    desk.comment(job.job_id, line.key, words, reading.reading_id)


def seen(desk, job, core_id: str, procedure_id: str = "excitation", **changed):
    """The content of the page, its comments changed as somebody who decides would."""
    view = desk.view(job.job_id)
    remarks = tuple(dataclasses.replace(one, **changed) for one in view.job.remarks)
    view = dataclasses.replace(view, job=dataclasses.replace(view.job, remarks=remarks))
    return sheet(view, core_id, procedure_id, why=desk.why_no_number, curves=CurveStore())


def shown(desk, job, core_id: str, procedure_id: str, view_id: str, **changed):
    page = seen(desk, job, core_id, procedure_id, **changed)
    return next(row for row in views_of(page) if row.view_id == view_id).content(page, CurveStore())


def test_a_comment_has_the_number_of_its_row_as_the_table_has_it(desk, commented, cores):
    content = shown(desk, commented, cores[0], "excitation", "curve", wants_answer=True)
    assert content.pins == (Pin("3", "3", is_open=True),)


def test_an_answered_comment_is_an_outline_and_a_closed_one_is_gone(desk, commented, cores):
    step = CommentStep(kind="rebuttal", text="Yes.", person_id="p", at_utc="2026-09-01T08:00:00Z",
                       utc_offset_minutes=0, reading_id="")  # fmt: skip
    answered = seen(desk, commented, cores[0], wants_answer=True, steps=(step,))
    closed = dataclasses.replace(step, kind="closed")
    assert pins(answered) == (Pin("3", "3", is_open=False),)
    assert pinned(seen(desk, commented, cores[0], wants_answer=True, steps=(step, closed))) == ()


def test_a_comment_on_another_core_is_not_marked_here(desk, commented, cores):
    assert pins(seen(desk, commented, cores[1])) == ()


def test_a_comment_stays_at_its_row_when_the_reading_is_corrected(desk, commented, cores):
    desk.key(commented.job_id, Address(cores[0], "excitation", 1, "3", "i_excitation_a"), "14.5")
    assert [pin.row for pin in pins(seen(desk, commented, cores[0]))] == ["3"]


def test_a_keyed_field_of_a_fixed_row_is_marked_on_its_chart(desk, job, cores):
    row = (("v_burden_v", "5"), ("i_burden_a", "1"), ("phase_burden_deg", "36.9"))
    entries = [(Address(cores[0], "burden", 1, "connected", name), words) for name, words in row]
    desk.key_many(job.job_id, entries)
    comment(desk, job, cores[0], "burden", "v_burden_v", "connected", "At which terminals?")
    content = shown(desk, job, cores[0], "burden", "triangle")
    assert [pin.words for pin in content.pins] == ["Circuit from the terminals"]


@pytest.fixture
def in_front(page, desk, commented, cores, monkeypatch):
    """The page with the curve and its comment, the cursor in the first row."""
    monkeypatch.setattr("app.ui.worksheet.page.cautions_of", lambda _sheet: ())
    page.open(desk.view(commented.job_id), cores[0], "excitation")
    page.cursor_in_hand.focus_row(0)
    return page


@pytest.mark.parametrize("look", ["day", "night"])
def test_the_balloon_is_drawn_by_day_and_by_night(in_front, qapp, look):
    plot = in_front.plot
    theme.apply(qapp, look)
    qapp.processEvents()
    place = plot.paper.at(MILLIAMPERES[2] / 1000.0, VOLTS[2])
    with_it = plot.grab().toImage()
    plot.show_content(dataclasses.replace(plot.content, pins=()))
    without = plot.grab().toImage()
    box, ratio = balloon_box(place, 20.0, plot.paper.area).toRect(), with_it.devicePixelRatio()
    at = [
        (int(x * ratio), int(y * ratio))
        for x in range(box.left(), box.right())
        for y in range(box.top(), box.bottom())
    ]
    differs = [with_it.pixelColor(x, y) != without.pixelColor(x, y) for x, y in at]
    theme.apply(qapp, "day")
    assert sum(differs) > 30


def test_a_balloon_stays_on_its_paper():
    paper = QRectF(0.0, 0.0, 300.0, 200.0)
    places = (QPointF(150.0, 100.0), QPointF(4.0, 100.0), QPointF(150.0, 4.0), QPointF(4.0, 4.0))
    assert [paper.contains(balloon_box(place, 40.0, paper)) for place in places] == [True] * 4


def test_keys_go_to_a_comment_and_ring_its_point(in_front, press):
    lines = in_front.body.findings.findings.lines
    count = next(at for at, line in enumerate(lines) if line.comment is not None) + 1
    [press(Qt.Key.Key_G, Qt.KeyboardModifier.ControlModifier) for _ in range(count)]
    assert in_front.cursor_in_hand.row == "3"
    assert QApplication.focusWidget() is not None
    assert in_front.plot.keyed == (160.0, pytest.approx(0.0144))


def test_a_screen_reader_is_told_of_the_comment_in_table_plot_and_list(in_front):
    rows = in_front.body.table.rows
    assert rows.index(2, 0).data(Qt.ItemDataRole.AccessibleTextRole).endswith("with a comment")
    assert in_front.plot.accessibleDescription().endswith("comment on row 3")
    said = in_front.body.findings.accessibleDescription()
    assert "comment: T. Adder: Was this point read twice?" in said
