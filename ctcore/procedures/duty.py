"""The duty of a core: what its relay or meter asks of it, from figures that the user keys."""

from __future__ import annotations

from ctcore.judgement import duty as judgement
from ctcore.procedure import FieldSpec, Procedure

DUTY = Procedure(
    procedure_id="duty",
    name="Duty of relay and meter",
    short_name="Duty",
    row_kind="fixed",
    method=(),
    columns=(
        FieldSpec(quantity_id="i_fault_primary_a", required=True),
        FieldSpec(quantity_id="r_loop_ohm", required=True),
        FieldSpec(quantity_id="r_relay_ohm"),
        FieldSpec(quantity_id="i_setting_a"),
        FieldSpec(quantity_id="i_fault_internal_a"),
        FieldSpec(quantity_id="factor_k_ratio"),
        FieldSpec(quantity_id="x_over_r_ratio"),
        FieldSpec(quantity_id="remanence_ratio"),
    ),
    fixed_rows=judgement.ROWS,
    rows_heading="Asked by",
    derived=(
        "v_stability_v",
        "v_knee_least_v",
        "r_stabilising_ohm",
        "v_peak_v",
        "v_knee_required_v",
        "v_saturation_free_v",
        "t_saturation_s",
    ),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("duty.peak",),
)
