"""Primary injection: one phase and the return, then phase against phase."""

from __future__ import annotations

from ctcore.judgement import injection as judgement
from ctcore.procedure import FieldSpec, Procedure

INJECTION = Procedure(
    procedure_id="injection",
    name="Primary injection",
    short_name="Injection",
    row_kind="fixed",
    method=(FieldSpec(quantity_id="device_read_text"), FieldSpec(quantity_id="burden_in_circuit_text")),
    columns=(
        FieldSpec(quantity_id="i_primary_a", required=True),
        FieldSpec(quantity_id="i_secondary_a", required=True),
        FieldSpec(quantity_id="phase_secondary_deg"),
        FieldSpec(quantity_id="i_residual_a", required=True),
    ),
    fixed_rows=judgement.ROWS,
    rows_heading="Current through",
    derived=("ratio_error_percent", "i_residual_share_percent"),
    derive=judgement.derive,
    judge=judgement.judge,
    per_subject=judgement.device,
    cautions=("injection.open_secondary", "injection.current"),
)
