"""Polarity by a kick of direct current."""

from __future__ import annotations

from ctcore.judgement import kick as judgement
from ctcore.procedure import FieldSpec, Procedure

KICK = Procedure(
    procedure_id="kick",
    name="Polarity by kick",
    short_name="Kick",
    row_kind="taps",
    method=(),
    columns=(
        FieldSpec(quantity_id="kick_make", required=True),
        FieldSpec(quantity_id="kick_break", required=True),
    ),
    derived=("polarity",),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("kick.interrupting", "kick.magnetised"),
)
