"""Insulation resistance: primary, secondary and earth against each other, raw and at 20 °C."""

from __future__ import annotations

from ctcore.judgement import insulation as judgement
from ctcore.procedure import FieldSpec, Procedure

INSULATION = Procedure(
    procedure_id="insulation",
    name="Insulation resistance",
    short_name="Insulation",
    row_kind="fixed",
    method=(
        FieldSpec(quantity_id="duration_s"),
        FieldSpec(quantity_id="t_winding_degc", required=True),
        FieldSpec(quantity_id="t_winding_source"),
    ),
    # The primary and the secondaries are tested with different volts, so each row has its own.
    columns=(
        FieldSpec(quantity_id="v_test_v", required=True),
        FieldSpec(quantity_id="insulation_resistance_ohm", required=True),
    ),
    fixed_rows=judgement.ROWS,
    derived=("insulation_resistance_20degc_ohm",),
    derive=judgement.derive,
    judge=judgement.judge,
    per_row=True,
    cautions=("insulation.test_voltage", "insulation.charge"),
)
