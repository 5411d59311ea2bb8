"""In-service check with load: the only proof of direction with real voltages."""

from __future__ import annotations

from ctcore.judgement import load as judgement
from ctcore.procedure import FieldSpec, Procedure

LOAD = Procedure(
    procedure_id="load",
    name="Load check in service",
    short_name="Load",
    row_kind="fixed",
    method=(
        FieldSpec(quantity_id="voltage_reference_text", required=True),
        FieldSpec(quantity_id="i_load_primary_a"),
    ),
    columns=(
        FieldSpec(quantity_id="i_secondary_a", required=True),
        FieldSpec(quantity_id="phase_to_reference_deg", required=True),
    ),
    fixed_rows=judgement.ROWS,
    rows_heading="Phase",
    derived=("load_percent", "i_residual_vector_a"),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("load.live", "load.trip"),
)
