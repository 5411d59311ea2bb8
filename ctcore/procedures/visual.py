"""Visual inspection: what was seen, earths and links as they were found."""

from __future__ import annotations

from ctcore.judgement import visual as judgement
from ctcore.procedure import FieldSpec, Procedure

VISUAL = Procedure(
    procedure_id="visual",
    name="Visual inspection, links and earths",
    short_name="Visual",
    row_kind="fixed",
    method=(
        FieldSpec(quantity_id="earths_drawn_count", required=True),
        FieldSpec(quantity_id="earths_found_count", required=True),
        FieldSpec(quantity_id="earth_place_text"),
        FieldSpec(quantity_id="links_found_count", required=True),
        FieldSpec(quantity_id="links_lifted_count", required=True),
    ),
    columns=(
        FieldSpec(quantity_id="check_answer", required=True),
        FieldSpec(quantity_id="check_text"),
    ),
    fixed_rows=judgement.ROWS,
    rows_heading="Look at",
    derived=(),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("visual.open_secondary", "visual.shared_circuit", "visual.earth"),
)
