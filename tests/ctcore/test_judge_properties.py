"""Whatever stands on plate and worksheet: judged without an exception, and no number that is not finite."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ctcore.job import METHOD_ROW, Instrument, LimitOverride, References, Tap, places
from ctcore.judge import budget_of, derived, judge, scene_of
from ctcore.procedures import PROCEDURES
from ctcore.quantities import quantity
from ctcore.takes import Take, takes_of

CLASSES = (
    "0.5 10 VA", "0.2S FS5 10 VA", "0.5 ext.150 % 1-10 VA", "3 10 VA", "5P20 15 VA", "10P10 5 VA",
    "5PR20 5 VA", "PX Ek 200 V Ie 30 mA Rct 2.5 ohm", "PXR Ek 200 V", "TPX", "C100", "T200", "K400",
    "TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm", "TPZ Kssc 5 Ktd 4 Ts 0.06 s Rb 10 ohm",
    "X Ek 200 V Ie 30 mA Rct 1 ohm", "0.3 B-0.5", "0.15S B-0.1 RF 2", "", "?", "0.5 10 VA; 5P10 10 VA",
)  # fmt: skip
NUMBERS = st.one_of(
    st.floats(1e-3, 1e3).map(repr),
    st.sampled_from(["0", "-1", "100", "1e-300", "1e300", "nan", "inf", "12", "0.5", "20", ""]),
)
SIZES = st.one_of(st.sampled_from([1.0, 5.0, 600.0, 0.0, -1.0, 1e-9, 1e300]), st.floats(0.1, 5000.0))
TAPS = st.lists(
    st.builds(
        Tap,
        tap_id=st.sampled_from(["S1-S2", "S2-S3", "S1-S3"]),
        terminals_text=st.sampled_from(["S1-S2", "S2-S3", "S1-S3", "", "S1"]),
        i_primary_rated_a=SIZES,
        i_secondary_rated_a=SIZES,
        turns_secondary_count=st.one_of(st.none(), SIZES),
    ),
    max_size=3,
    unique_by=lambda tap: tap.tap_id,
)
INSTRUMENT = st.builds(
    Instrument,
    instrument_id=st.just("m1"),
    name_text=st.just("M"),
    spec_reading_percent=st.one_of(st.none(), st.floats(0.0, 5.0)),
    spec_floor=st.one_of(st.none(), st.floats(0.0, 1.0)),
    spec_floor_unit=st.sampled_from(["", "V", "A", "mA", "ohm", "degC"]),
    due_on=st.sampled_from([None, "2020-01-01", "2030-01-01", "soon"]),
)
OVERRIDES = st.lists(
    st.builds(
        LimitOverride,
        rule=st.sampled_from(["resistance.limit", "excitation.knee", "ratio.error", "excitation.composite"]),
        core_id=st.sampled_from(["", "c1"]),
        limit_low=st.one_of(st.none(), st.floats(-10, 10)),
        limit_high=st.one_of(st.none(), st.floats(-10, 10)),
        reason_text=st.just("r"),
        person_text=st.just("p"),
    ),
    max_size=2,
)
REFERENCES = st.builds(
    References,
    decision_rule=st.sampled_from(["simple", "guard_band", "four_way"]),
    insulation_limit_set=st.sampled_from(["tradition_1_mohm", "neta_100_1", "kv_plus_1_mohm", "client", "?"]),
    insulation_correction=st.sampled_from(["halving_per_10k", "oil_filled", "solid", "?"]),
    limit_overrides=OVERRIDES.map(tuple),
)


@pytest.mark.parametrize("procedure", PROCEDURES, ids=lambda entry: entry.procedure_id)
@given(data=st.data())
@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_worksheet_is_judged_with_finite_numbers(
    worksheet: Any, procedure: Any, data: st.DataObject
) -> None:
    sheet = worksheet(
        data.draw(st.sampled_from(CLASSES)),
        data.draw(TAPS),
        phases=data.draw(st.integers(1, 2)),
        low_leakage=data.draw(st.sampled_from([None, True, False])),
        burden_connected_va=data.draw(st.one_of(st.none(), SIZES)),
    )
    sheet.references = data.draw(REFERENCES)
    sheet.instruments = (data.draw(INSTRUMENT),)
    _fill(sheet, procedure, data)
    if procedure.procedure_id in ("ratio", "excitation"):
        sheet.key("resistance", leads="four_wire", t_winding_degc=20, t_winding_source="surface_probe")
        sheet.add("resistance", "S1-S2", "r_measured_ohm", data.draw(NUMBERS), instrument_id="m1")

    values = [
        number
        for finding in judge(sheet.job)
        for number in (finding.value, finding.limit, finding.margin, finding.u_expanded)
    ]
    takes = takes_of(sheet.readings)
    for place in places(sheet.job):
        scene = scene_of(sheet.job, place, takes)
        for (core_id, name, take), entries in derived(sheet.job, place, takes).items():
            its = next(one for one in takes[core_id, name] if one.take == take)
            values += [number for entry in entries for number in (entry.value, entry.u_expanded)]
            values += [_combined(scene, its, entry.row, entry.quantity_id) for entry in entries]

    assert [value for value in values if isinstance(value, float) and not math.isfinite(value)] == []


def _combined(scene: Any, take: Take, row: str, quantity_id: str) -> float | None:
    budget = budget_of(scene, take, row, quantity_id)
    return None if budget is None else budget.u_combined


def _fill(sheet: Any, procedure: Any, data: st.DataObject) -> None:
    for core in range(len(sheet.cores)):
        for spec in procedure.method:
            _field(sheet, core, procedure, METHOD_ROW, spec.quantity_id, data)
        rows = [fixed.row for fixed in procedure.fixed_rows] or ["S1-S2", "S1-S3", "elsewhere"]
        if procedure.row_kind == "points":
            rows = [str(number) for number in range(1, data.draw(st.integers(0, 12)) + 1)]
        for place, row in enumerate(rows):
            for spec in procedure.columns:
                if procedure.row_kind == "points" and data.draw(st.integers(0, 3)) > 0:
                    base = 10.0 * (place + 1) if spec.quantity_id.endswith("_v") else 0.001 * (place + 1) ** 2
                    name = procedure.procedure_id
                    sheet.add(name, row, spec.quantity_id, repr(base), core=core, instrument_id="m1")
                else:
                    _field(sheet, core, procedure, row, spec.quantity_id, data)


def _field(sheet: Any, core: int, procedure: Any, row: str, quantity_id: str, data: st.DataObject) -> None:
    if data.draw(st.integers(0, 4)) == 0:
        return
    shape = quantity(quantity_id)
    words = [choice.value for choice in shape.choices] + ["no word", ""]
    text = data.draw(NUMBERS if shape.kind == "number" else st.sampled_from(words))
    if quantity_id == "tap_id":
        text = data.draw(st.sampled_from(["S1-S2", "S1-S3", "", "nowhere"]))
    over = shape.kind == "number" and data.draw(st.integers(0, 9)) == 0
    sheet.add(
        procedure.procedure_id, row, quantity_id, text, core=core, instrument_id="m1", over_range=over,
        value_text=text or None,
    )  # fmt: skip
