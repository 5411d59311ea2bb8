"""Demagnetising: method, start, steps, time to zero; its proof is the curve."""

from __future__ import annotations

from ctcore.judgement import demagnetising as judgement
from ctcore.procedure import FieldSpec, Procedure

_VOLTAGE = ("demagnetising_method", ("ac_ramp",))
_CURRENT = ("demagnetising_method", ("alternating_dc",))

DEMAGNETISING = Procedure(
    procedure_id="demagnetising",
    name="Demagnetising",
    short_name="Demagnetise",
    row_kind="fixed",
    method=(FieldSpec(quantity_id="demagnetising_method", required=True),),
    columns=(
        FieldSpec(quantity_id="v_start_v", required=True, shown_when=_VOLTAGE),
        FieldSpec(quantity_id="i_start_a", required=True, shown_when=_CURRENT),
        FieldSpec(quantity_id="steps_count"),
        FieldSpec(quantity_id="time_to_zero_s", required=True),
        FieldSpec(quantity_id="demagnetising_end", required=True),
    ),
    fixed_rows=judgement.ROWS,
    rows_heading="Winding",
    derived=("v_start_wanted_v", "i_low_end_change_percent"),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("demagnetising.voltage", "demagnetising.interrupted"),
)
