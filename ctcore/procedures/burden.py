"""Burden of the connected circuit: volts and amperes from the terminals towards the relay."""

from __future__ import annotations

from ctcore.judgement import burden as judgement
from ctcore.procedure import FieldSpec, Procedure

BURDEN = Procedure(
    procedure_id="burden",
    name="Burden",
    short_name="Burden",
    row_kind="fixed",
    method=(
        FieldSpec(quantity_id="burden_in_circuit_text"),
        FieldSpec(quantity_id="wire_area_mm2"),
        FieldSpec(quantity_id="wire_length_m"),
        FieldSpec(quantity_id="wire_loop"),
    ),
    columns=(
        FieldSpec(quantity_id="v_burden_v", required=True),
        FieldSpec(quantity_id="i_burden_a", required=True),
        FieldSpec(quantity_id="phase_burden_deg"),
    ),
    fixed_rows=judgement.ROWS,
    rows_heading="Measured on",
    derived=("z_burden_ohm", "r_burden_ohm", "x_burden_ohm", "burden_connected_va", "r_wire_ohm"),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("burden.direction", "burden.trip"),
)
