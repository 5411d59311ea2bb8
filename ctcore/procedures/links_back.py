"""Links closed again, one earth, and the proof that the loop of each core is closed."""

from __future__ import annotations

from ctcore.judgement import links_back as judgement
from ctcore.procedure import FieldSpec, Procedure

LINKS_BACK = Procedure(
    procedure_id="links_back",
    name="Links back and loop proof",
    short_name="Links back",
    row_kind="fixed",
    method=(
        FieldSpec(quantity_id="links_closed_count", required=True),
        FieldSpec(quantity_id="earths_left_count", required=True),
        FieldSpec(quantity_id="earth_place_text"),
    ),
    columns=(FieldSpec(quantity_id="r_proof_ohm", required=True),),
    fixed_rows=judgement.ROWS,
    rows_heading="Proof of",
    derived=("r_loop_spread_percent",),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("links_back.open", "links_back.earth"),
)
