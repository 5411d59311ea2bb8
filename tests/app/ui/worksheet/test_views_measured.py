"""Insulation over time, burden triangle and injected currents: what is drawn is what the core found."""

from __future__ import annotations

import dataclasses
import math

import pytest

from app.desk import Address
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.sheet import sheet
from app.ui.worksheet.views import views_of


@pytest.fixture
def drawn(desk, job, cores):
    """The content of a view of a test of the first core."""

    def of(procedure_id: str, view_id: str):
        page = sheet(
            desk.view(job.job_id), cores[0], procedure_id, why=desk.why_no_number, curves=CurveStore()
        )
        row = next(row for row in views_of(page) if row.view_id == view_id)
        return row.make(page, CurveStore())

    return of


def key(desk, job, core_id: str, procedure_id: str, row: str, *, take: int = 1, **texts: str) -> None:
    desk.key_many(
        job.job_id,
        [(Address(core_id, procedure_id, take, row, name), words) for name, words in texts.items()],
    )


def over_time(desk, job, core_id: str, pair: str = "this secondary and earth", **megohms: str) -> None:
    key(desk, job, core_id, "insulation_time", "method", insulation_pair=pair, v_test_v="500",
        t_winding_degc="20")  # fmt: skip
    for row, megohm in megohms.items():
        key(desk, job, core_id, "insulation_time", row.strip("_"), insulation_resistance_ohm=megohm)


# Insulation over time


def test_insulation_is_drawn_over_its_seconds(desk, job, cores, drawn):
    over_time(desk, job, cores[0], _15s="500", _60s="900", _600s="1800")
    (hand,) = drawn("insulation_time", "growth").series
    assert (hand.x, hand.y, hand.rows) == (
        (15.0, 60.0, 600.0), (500e6, 900e6, 1800e6), ("15s", "60s", "600s"),
    )  # fmt: skip


def test_the_limit_of_insulation_runs_along_the_readings(desk, job, cores, drawn):
    """1 MOhm tradition (from memory), the set of a new job."""
    over_time(desk, job, cores[0], _15s="500", _600s="1800")
    (limit,) = drawn("insulation_time", "growth").limits
    assert (limit.x, limit.y, limit.above) == ((15.0, 600.0), (1e6, 1e6), False)


def test_ratios_stand_where_their_readings_are(desk, job, cores, drawn):
    """10 min over 1 min: IEEE 43, definition (from memory)."""
    over_time(desk, job, cores[0], _30s="600", _60s="900")
    over_time(desk, job, cores[1], _60s="900", _600s="1800")
    other, hand = drawn("insulation_time", "growth").series
    assert "60 s/30 s 1.50" in hand.words
    assert "10 min/1 min" not in hand.words
    assert "10 min/1 min 2.00" in other.words
    assert "60 s/30 s" not in other.words


def test_another_pair_of_a_sister_phase_is_not_compared(desk, job, cores, drawn):
    over_time(desk, job, cores[0], _60s="900")
    over_time(desk, job, cores[1], "primary and earth", _60s="9000")
    assert [one.in_hand for one in drawn("insulation_time", "growth").series] == [True]


def test_a_reading_over_the_range_is_told_as_not_drawn(desk, job, cores, drawn):
    over_time(desk, job, cores[0], _30s="900", _60s=">2000")
    assert drawn("insulation_time", "growth").left_out_count == 1


# Burden triangle


def burden(desk, job, core_id: str, row: str = "connected", volts: str = "5", angle: str = "36.87") -> None:
    key(desk, job, core_id, "burden", row, v_burden_v=volts, i_burden_a="1", phase_burden_deg=angle)


def rated(desk, job, class_text: str) -> None:
    ct = desk.view(job.job_id).job.positions[0].cts[0]
    cores = tuple(dataclasses.replace(core, class_text=class_text) for core in ct.cores)
    desk.set_ct(job.job_id, dataclasses.replace(ct, cores=cores))


def test_a_burden_is_drawn_as_its_triangle(desk, job, cores, drawn):
    """5 V at 1 A and 36.87 degrees: 4 ohm and 3 ohm (3-4-5, arithmetic)."""
    burden(desk, job, cores[0])
    (one,) = drawn("burden", "triangle").series
    assert one.x == pytest.approx((4.0, 0.0, 4.0, 4.0), abs=1e-3)
    assert one.y == pytest.approx((3.0, 0.0, 0.0, 3.0), abs=1e-3)
    assert "5.00" in one.words
    assert "VA" in one.words


def test_the_arc_lies_at_the_rated_burden_everywhere(desk, job, cores, drawn):
    """15 VA at 1 A are 15 ohm: IEC 61869-2:2012, 5.5."""
    rated(desk, job, "5P20 15 VA")
    burden(desk, job, cores[0])
    (arc,) = drawn("burden", "triangle").limits
    sizes = [math.hypot(x, y) for x, y in zip(arc.x, arc.y, strict=True)]
    assert sizes == pytest.approx([15.0] * len(sizes))
    assert arc.above
    assert arc.round_origin


def test_a_measuring_class_has_an_arc_for_its_least_burden(desk, job, cores, drawn):
    """From a quarter of the rated output: IEC 61869-2:2012, 5.6.201."""
    rated(desk, job, "0.5 15 VA")
    burden(desk, job, cores[0])
    assert [(limit.x[0], limit.above) for limit in drawn("burden", "triangle").limits] == [
        (15.0, True), (3.75, False),
    ]  # fmt: skip


def test_circuits_and_phases_have_marks_and_lines_of_their_own(desk, job, cores, drawn):
    burden(desk, job, cores[0])
    burden(desk, job, cores[0], "leads", "0.5", "0")
    burden(desk, job, cores[1])
    series = drawn("burden", "triangle").series
    assert len({(one.phase_index, one.in_hand) for one in series}) == 3


def test_a_burden_without_its_angle_is_told_as_not_drawn(desk, job, cores, drawn):
    key(desk, job, cores[0], "burden", "connected", v_burden_v="5", i_burden_a="1")
    content = drawn("burden", "triangle")
    assert (content.series, content.left_out_count) == ((), 1)


# Primary injection


def inject(desk, job, core_id: str, device: str, row: str = "two_phases", *, take: int = 1, **more: str):
    key(desk, job, core_id, "injection", "method", take=take, device_read_text=device)
    given = {"i_primary_a": "200", "i_secondary_a": "0.333", "i_residual_a": "0.004"}
    key(desk, job, core_id, "injection", row, take=take, **given | more)


def test_a_current_is_drawn_at_its_angle(desk, job, cores, drawn):
    inject(desk, job, cores[0], "relay", i_secondary_a="2", phase_secondary_deg="60")
    phase = drawn("injection", "phasors").series[0]
    assert (phase.x[1], phase.y[1]) == (pytest.approx(1.0), pytest.approx(math.sqrt(3.0)))
    assert phase.rows == ("", "two_phases")


def test_a_current_without_its_angle_is_a_circle_of_its_size(desk, job, cores, drawn):
    inject(desk, job, cores[0], "relay")
    residual = drawn("injection", "phasors").series[1]
    assert [math.hypot(x, y) for x, y in zip(residual.x, residual.y, strict=True)] == pytest.approx(
        [0.004] * len(residual.x)
    )
    assert residual.words.startswith("relay, residual")


def test_the_null_is_a_circle_of_the_residual_that_counts_as_none(desk, job, cores, drawn):
    """5 % of the phase current: common practice, no source."""
    inject(desk, job, cores[0], "relay", i_secondary_a="2")
    (null,) = drawn("injection", "phasors").limits
    assert (null.x[0], null.y[0], null.toothed) == (pytest.approx(0.1), 0.0, False)


def test_the_residual_of_one_phase_is_the_phase_itself_and_not_drawn_again(desk, job, cores, drawn):
    inject(desk, job, cores[0], "relay", "one_phase")
    assert [one.words[:16] for one in drawn("injection", "phasors").series] == ["relay, one phase"]


def test_devices_have_marks_and_lines_of_their_own(desk, job, cores, drawn):
    inject(desk, job, cores[0], "relay", phase_secondary_deg="0")
    inject(desk, job, cores[0], "meter", take=2, phase_secondary_deg="1")
    series = drawn("injection", "phasors").series
    by_device = {words.words.split(",")[0]: words.phase_index for words in series}
    assert by_device == {"relay": -1, "meter": -2}
