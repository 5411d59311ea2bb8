"""Winding resistance: as read, less the leads, and at 75 °C."""

from __future__ import annotations

from ctcore.judgement import resistance as judgement
from ctcore.procedure import FieldSpec, Procedure

RESISTANCE = Procedure(
    procedure_id="resistance",
    name="Winding resistance",
    short_name="Resistance",
    row_kind="taps",
    method=(
        FieldSpec(quantity_id="leads", required=True),
        FieldSpec(quantity_id="r_lead_ohm", required=True, shown_when=("leads", ("two_wire",))),
        FieldSpec(quantity_id="t_winding_degc", required=True),
        FieldSpec(quantity_id="t_winding_source", required=True),
    ),
    columns=(
        FieldSpec(quantity_id="r_measured_ohm", required=True),
        FieldSpec(quantity_id="i_test_a"),
        FieldSpec(quantity_id="settle_s"),
    ),
    derived=("r_winding_ohm", "r_winding_75degc_ohm", "r_spread_percent"),
    derive=judgement.derive,
    judge=judgement.judge,
    per_row=True,
    cautions=("resistance.interrupting", "resistance.magnetised"),
)
