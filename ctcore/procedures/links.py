"""Links and earth of a core, terminal by terminal, as found and as left, checked by a second person."""

from __future__ import annotations

from ctcore.judgement import links as judgement
from ctcore.procedure import FieldSpec, Procedure

LINKS = Procedure(
    procedure_id="links",
    name="Links and earth, as found and as left",
    short_name="Links",
    row_kind="terminals",
    method=(
        FieldSpec(quantity_id="earth_drawn_text", required=True),
        FieldSpec(quantity_id="earth_place_text", required=True),
        FieldSpec(quantity_id="earth_left_text", required=True),
        FieldSpec(quantity_id="links_checked_text", required=True),
    ),
    columns=(
        FieldSpec(quantity_id="link_found", required=True),
        FieldSpec(quantity_id="link_left", required=True),
        FieldSpec(quantity_id="link_text"),
    ),
    rows_of_core=judgement.rows_of,
    rows_heading="At",
    derived=(),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("links.open_secondary", "links.earth"),
)
