"""What a narrow or a short page does with heads, figures to read back, and rows at its edge."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.desk import Address
from app.ui.worksheet.readback import ReadBack, Said
from app.ui.worksheet.rows_model import halves
from ctcore.job import Instrument
from ctcore.procedures import procedure


@pytest.mark.parametrize(
    ("words", "lines"),
    [
        ("Fault current, A", ["Fault", "current, A"]),
        ("Volts", ["Volts"]),
        ("At 20 °C, MΩ", ["At 20", "°C, MΩ"]),
    ],
)
def test_words_break_where_both_lines_are_as_alike_as_can_be(words, lines):
    assert halves(words) == lines


def test_heads_take_two_lines_before_a_table_scrolls_sideways(page, desk, acknowledged, cores):
    page.open(desk.view(acknowledged.job_id), cores[0], "duty")
    table = page.body.table
    one_line = table.horizontalHeader().height()
    page.resize(1080, 660)
    assert table.horizontalHeader().height() > one_line
    assert table.horizontalHeader().length() <= table.viewport().width()
    page.resize(1500, 660)
    assert table.horizontalHeader().height() == one_line
    page.resize(700, 660)
    assert table.horizontalHeader().height() == one_line


@pytest.mark.parametrize(
    ("procedure_id", "row"), [("burden", "connected"), ("injection", "one_phase"), ("resistance", "full")]
)
def test_everything_that_is_keyed_is_seen_beside_an_open_view(
    qtbot, page, desk, acknowledged, cores, procedure_id, row
):
    job_id = acknowledged.job_id
    desk.set_instrument(job_id, Instrument(instrument_id="m", name_text="Millivoltmeter 12"))
    fields = [spec.quantity_id for spec in procedure(procedure_id).columns]
    addresses = [Address(cores[0], procedure_id, 1, row, quantity_id) for quantity_id in fields]
    desk.key_many(job_id, [(address, "1") for address in addresses])
    [desk.use_instrument(job_id, cores[0], procedure_id, 1, quantity_id, "m") for quantity_id in fields]
    page.open(desk.view(job_id), cores[0], procedure_id)
    page.switch_view()
    table = page.body.table
    assert page.body.mode == "side"
    assert page.body.plot_place.isVisible()
    assert {column.reader for column in table.rows.columns if column.kind == "typed"} == {"Millivoltmeter 12"}
    last = max(index for index, column in enumerate(table.rows.columns) if column.kind == "typed")
    head = table.horizontalHeader()
    qtbot.waitUntil(lambda: head.sectionPosition(last) + head.sectionSize(last) <= table.viewport().width())


@pytest.fixture
def read_back(qtbot):
    made = ReadBack()
    qtbot.addWidget(made)
    made.resize(560, 72)
    made.show_values("L1 core 1", "row 3", (Said("48.00 V", is_current=True), Said("35.30 mA")))
    return made


def test_figures_to_read_back_shrink_before_one_is_left_out(read_back):
    read_back.grab()
    assert read_back.shown == read_back.figures


def test_where_letters_would_be_too_small_the_figure_being_keyed_stays(read_back):
    read_back.resize(330, 72)
    read_back.grab()
    assert read_back.shown == (Said("48.00 V", is_current=True),)


def test_no_row_above_the_one_in_hand_is_cut_in_half(excitation, desk, acknowledged, cores, press):
    entries = [
        (Address(cores[0], "excitation", 1, str(row), name), text)
        for row in range(1, 25)
        for name, text in (("v_excitation_v", str(10 * row)), ("i_excitation_a", str(row)))
    ]
    desk.key_many(acknowledged.job_id, entries)
    desk.strike_row(acknowledged.job_id, cores[0], "excitation", 1, "9", "the supply dipped")
    excitation.open(desk.view(acknowledged.job_id), cores[0], "excitation")
    table = excitation.body.table
    tops = []
    for _ in range(12):
        press(Qt.Key.Key_Up)
        tops.append(table.rowViewportPosition(table.rowAt(0)))
    here = table.rows.line_of(table.row_in_hand)
    assert set(tops) == {0}
    assert 0 <= table.rowViewportPosition(here) < table.viewport().height()
