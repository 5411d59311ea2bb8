"""Insulation resistance over time: one pair under one voltage, read from a quarter of a minute to ten."""

from __future__ import annotations

from ctcore.judgement import insulation_time as judgement
from ctcore.procedure import FieldSpec, Procedure
from ctcore.takes import Take


def _pair(take: Take) -> str:
    return take.method.cell(judgement.PAIR).value_text or ""


INSULATION_TIME = Procedure(
    procedure_id="insulation_time",
    name="Insulation resistance over time",
    short_name="Over time",
    row_kind="fixed",
    method=(
        FieldSpec(quantity_id="insulation_pair", required=True),
        FieldSpec(quantity_id="v_test_v", required=True),
        FieldSpec(quantity_id="t_winding_degc", required=True),
        FieldSpec(quantity_id="t_winding_source"),
    ),
    columns=(FieldSpec(quantity_id="insulation_resistance_ohm", required=True),),
    fixed_rows=judgement.ROWS,
    rows_heading="After",
    derived=("insulation_resistance_20degc_ohm",),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("insulation.test_voltage", "insulation.charge"),
    per_subject=_pair,
)
