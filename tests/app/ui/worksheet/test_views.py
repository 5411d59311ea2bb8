"""The views beside the table: which there are, what they show, and how one goes from one to the next."""

from __future__ import annotations

import dataclasses

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.desk import Address
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.plot_duty import duty_points, envelope_edge
from app.ui.worksheet.sheet import sheet
from app.ui.worksheet.views import VIEWS, views_of
from ctcore.job import ReferenceCurve, ReferencePoint, Tap

VOLTS = (20.0, 80.0, 160.0, 220.0, 240.0, 255.0, 270.0, 285.0, 300.0)
AMPERES = (0.0034, 0.0091, 0.0144, 0.0183, 0.0205, 0.0243, 0.0320, 0.0510, 0.0900)


@pytest.fixture
def shown(desk, job, cores):
    """What the page shows of a test of the first core."""

    def of(procedure_id: str, core_id: str = ""):
        view = desk.view(job.job_id)
        return sheet(view, core_id or cores[0], procedure_id, why=desk.why_no_number, curves=CurveStore())

    return of


def _key_curve(desk, job, core_id: str, take: int = 1, *, tap_id: str = "", share: float = 1.0) -> None:
    entries = [(Address(core_id, "excitation", take, "method", "tap_id"), tap_id)] if tap_id else []
    for row, (volts, amperes) in enumerate(zip(VOLTS, AMPERES, strict=True), start=1):
        for quantity_id, text in (
            ("v_excitation_v", volts * share),
            ("i_excitation_a", 1e3 * amperes / share),
        ):
            entries.append((Address(core_id, "excitation", take, str(row), quantity_id), f"{text:.4f}"))
    desk.key_many(job.job_id, entries)


def _set_plate(desk, job, class_text: str, taps: tuple[Tap, ...]) -> None:
    ct = desk.view(job.job_id).job.positions[0].cts[0]
    cores = tuple(dataclasses.replace(core, class_text=class_text, taps=taps) for core in ct.cores)
    desk.set_ct(job.job_id, dataclasses.replace(ct, cores=cores))


FULL = Tap(tap_id="full", terminals_text="1S1-1S3", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
HALF = Tap(tap_id="half", terminals_text="1S1-1S2", i_primary_rated_a=300.0, i_secondary_rated_a=1.0)


def test_every_view_has_a_name():
    assert [row.words for row in VIEWS if not row.words] == []


def test_a_curve_of_one_tap_has_no_view_per_turn(desk, job, cores, shown):
    _key_curve(desk, job, cores[0])
    assert "per_turn" not in [row.view_id for row in views_of(shown("excitation"))]


def test_two_taps_fall_on_one_line_per_turn(desk, job, cores, shown):
    """Source: arithmetic; half the turns take half the volts and twice the current."""
    _set_plate(desk, job, "PX Ek 250 V Ie 30 mA Rct 3 ohm", (HALF, FULL))
    _key_curve(desk, job, cores[0], tap_id="full")
    _key_curve(desk, job, cores[0], 2, tap_id="half", share=0.5)
    page = shown("excitation")
    view = next(row for row in views_of(page) if row.view_id == "per_turn")
    one, other = view.make(page, CurveStore()).curves
    assert one.points.voltage_v == pytest.approx(other.points.voltage_v)
    assert one.points.current_a == pytest.approx(other.points.current_a)
    assert one.points.voltage_v[0] == pytest.approx(VOLTS[0] / 600.0)


def test_the_duty_point_of_a_protection_core_is_its_emf_with_the_current_allowed(desk, job, cores, shown):
    """5P20, 15 VA, 1 A, 3 ohm at 75 degC: 20 |3 + 15 ohm| V, 5 % of 20 A. Source: IEC 61869-2, as judged."""
    tap = dataclasses.replace(FULL, tap_id="full")
    _set_plate(desk, job, "5P20 15 VA Rct 3 ohm", (tap,))
    method = (("leads", "four_wire"), ("t_winding_degc", "75"), ("t_winding_source", "surface probe"))
    entries = [(Address(cores[0], "resistance", 1, "method", name), text) for name, text in method]
    entries.append((Address(cores[0], "resistance", 1, "full", "r_measured_ohm"), "3.000"))
    desk.key_many(job.job_id, entries)
    _key_curve(desk, job, cores[0])
    points = duty_points(shown("excitation"))
    assert [round(point.current_a, 6) for point in points] == [1.0]
    assert 300.0 < points[0].voltage_v <= 360.0


def test_a_core_without_limit_factor_has_no_duty_point(desk, job, cores, shown):
    _key_curve(desk, job, cores[0])
    assert duty_points(shown("excitation")) == ()


def _reference(core_id: str) -> ReferenceCurve:
    points = tuple(
        ReferencePoint(voltage_v=volts, current_a=amperes)
        for volts, amperes in zip(VOLTS, AMPERES, strict=True)
    )
    return ReferenceCurve(
        core_id=core_id, tap_id="full", kind="certificate", source_text="certificate 12", frequency_hz=50.0,
        voltage_response="mean", points=points,
    )  # fmt: skip


def _refer_to_curve(desk, job, core_id: str) -> None:
    references = desk.view(job.job_id).job.references
    desk.set_references(job.job_id, dataclasses.replace(references, curves=(_reference(core_id),)))


def test_the_envelope_of_a_relay_class_is_125_percent_below_and_95_above(desk, job, cores, shown):
    """Source: IEEE C57.13-2016, from memory."""
    _set_plate(desk, job, "C100", (dataclasses.replace(FULL, i_secondary_rated_a=5.0),))
    _refer_to_curve(desk, job, cores[0])
    _key_curve(desk, job, cores[0])
    edge = envelope_edge(shown("excitation"))
    assert edge.current_a[0] == pytest.approx(1.25 * AMPERES[0])
    assert edge.voltage_v[-1] == pytest.approx(0.95 * VOLTS[-1])


def test_other_classes_have_no_envelope(desk, job, cores, shown):
    _refer_to_curve(desk, job, cores[0])
    assert len(envelope_edge(shown("excitation"))) == 0


def test_resistance_lies_over_turns_by_tap(desk, job, cores, shown):
    _set_plate(desk, job, "PX Ek 250 V Ie 30 mA Rct 3 ohm", (HALF, FULL))
    method = (("leads", "four_wire"), ("t_winding_degc", "75"), ("t_winding_source", "surface probe"))
    entries = [(Address(cores[0], "resistance", 1, "method", name), text) for name, text in method]
    entries += [
        (Address(cores[0], "resistance", 1, tap_id, "r_measured_ohm"), text)
        for tap_id, text in (("half", "1.2"), ("full", "2.4"))
    ]
    desk.key_many(job.job_id, entries)
    page = shown("resistance")
    view = next(row for row in views_of(page) if row.view_id == "turns")
    (hand,) = view.make(page, CurveStore()).series
    assert (hand.x, hand.rows) == ((300.0, 600.0), ("half", "full"))
    assert hand.y == pytest.approx((1.2, 2.4))


def test_insulation_over_range_keeps_its_sign_on_the_line(desk, job, cores, shown):
    keyed = (
        ("method", "t_winding_degc", "20"), ("secondary_earth", "v_test_v", "500"),
        ("secondary_earth", "insulation_resistance_ohm", ">20 G"),
    )  # fmt: skip
    entries = [(Address(cores[0], "insulation", 1, row, name), text) for row, name, text in keyed]
    desk.key_many(job.job_id, entries)
    page = shown("insulation")
    view = next(row for row in views_of(page) if row.view_id == "limits")
    assert [row.shown[0] for row in view.make(page, CurveStore()).rows] == [">"]


def test_a_key_goes_from_view_to_view_and_round_again(excitation, press):
    first = excitation.views.row.view_id
    press(Qt.Key.Key_F7, Qt.KeyboardModifier.ShiftModifier)
    second = excitation.views.row.view_id
    press(Qt.Key.Key_F7, Qt.KeyboardModifier.ShiftModifier)
    assert (first, second, excitation.views.row.view_id) == ("curve", "limits", "curve")


def test_a_test_without_curve_gives_the_width_to_its_table_until_asked(
    page, desk, acknowledged, cores, press
):
    page.open(desk.view(acknowledged.job_id), cores[0], "insulation")
    page.cursor_in_hand.focus_row(0)
    before = page.body.plot_place.isVisible()
    press(Qt.Key.Key_F7, Qt.KeyboardModifier.ShiftModifier)
    assert (before, page.body.plot_place.isVisible(), page.views.row.view_id) == (False, True, "limits")


def test_a_touch_on_a_point_takes_its_row_in_hand(excitation, qtbot, type_keys):
    type_keys("20\n3.4\n80\n9.1\n160\n14\n")
    place = excitation.plot.paper.at(0.0091, 80.0).toPoint()
    qtbot.mouseClick(excitation.plot, Qt.MouseButton.LeftButton, pos=place)
    assert excitation.cursor_in_hand.row == "2"
    assert excitation.plot.keyed == (80.0, pytest.approx(0.0091))


def test_the_arrows_ring_the_point_of_the_row_in_hand(excitation, type_keys, press):
    type_keys("20\n3.4\n80\n9.1\n160\n14\n")
    press(Qt.Key.Key_Up)
    press(Qt.Key.Key_Up)
    assert QApplication.focusWidget() is not None
    assert excitation.plot.keyed == (80.0, pytest.approx(0.0091))


def test_errors_read_at_two_currents_lie_inside_the_limits_of_the_class(desk, job, cores, shown):
    """Class 0.5 at 5 and 100 %: 1.5 and 0.5 %. Source: IEC 61869-2:2012, Table 201."""
    _set_plate(desk, job, "0.5 FS5 10 VA", (FULL,))
    for take, (percent, error) in enumerate((("100", "0.2"), ("5", "0.6")), start=1):
        method = (("ratio_method", "instrument"), ("burden_in_circuit_va", "10"))
        row = (("i_percent_rated_percent", percent), ("ratio_error_read_percent", error))
        entries = [(Address(cores[0], "ratio", take, "method", name), text) for name, text in method]
        entries += [(Address(cores[0], "ratio", take, "full", name), text) for name, text in row]
        desk.key_many(job.job_id, entries)
    page = shown("ratio")
    view = next(row for row in views_of(page) if row.view_id == "errors_read")
    content = view.make(page, CurveStore())
    (hand,) = content.series
    assert (hand.x, hand.y) == ((5.0, 100.0), (0.6, 0.2))
    assert (content.limits[0].x, content.limits[0].y) == ((5.0, 100.0), (1.5, 0.5))


def _measure(desk, job, core_id: str, *ohms: tuple[str, str]) -> None:
    method = (("leads", "four-wire"), ("t_winding_degc", "75"), ("t_winding_source", "surface probe"))
    entries = [(Address(core_id, "resistance", 1, "method", name), words) for name, words in method]
    entries += [(Address(core_id, "resistance", 1, row, "r_measured_ohm"), ohm) for row, ohm in ohms]
    desk.key_many(job.job_id, entries)


def _with_other_ids(desk, job) -> None:
    """The second transformer keeps the terminals and has the ids of its taps the other way round."""
    _set_plate(desk, job, "PX Ek 250 V Ie 30 mA Rct 3 ohm", (HALF, FULL))
    ct = desk.view(job.job_id).job.positions[0].cts[1]
    taps = (dataclasses.replace(HALF, tap_id="full"), dataclasses.replace(FULL, tap_id="half"))
    desk.set_ct(
        job.job_id,
        dataclasses.replace(ct, cores=tuple(dataclasses.replace(core, taps=taps) for core in ct.cores)),
    )


def test_sister_phases_stand_beside_each_other_by_their_terminals(desk, job, cores, shown):
    _with_other_ids(desk, job)
    _measure(desk, job, cores[0], ("half", "1.1"), ("full", "2.2"))
    _measure(desk, job, cores[1], ("full", "1.2"), ("half", "2.4"))
    page = shown("resistance")
    at = next(i for i, column in enumerate(page.columns) if column.kind == "sister")
    assert [(row.words, row.texts[at]) for row in page.rows] == [("1S1-1S2", "1.200"), ("1S1-1S3", "2.400")]


def test_a_curve_of_a_sister_is_that_of_the_same_terminals(desk, job, cores, shown):
    _with_other_ids(desk, job)
    _key_curve(desk, job, cores[0], tap_id="full")
    _key_curve(desk, job, cores[1], tap_id="half")
    _key_curve(desk, job, cores[1], 2, tap_id="full", share=0.5)
    assert [sister.take.take for sister in shown("excitation").sisters if sister.take] == [1]


def test_a_curve_of_a_sister_at_other_terminals_is_not_compared(desk, job, cores, shown):
    _set_plate(desk, job, "PX Ek 250 V Ie 30 mA Rct 3 ohm", (HALF, FULL))
    _key_curve(desk, job, cores[0], tap_id="full")
    _key_curve(desk, job, cores[1], tap_id="half", share=0.5)
    assert [sister.take for sister in shown("excitation").sisters] == [None, None]
