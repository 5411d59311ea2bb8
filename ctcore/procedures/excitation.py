"""Excitation: volts against exciting current going up, three knees, and the check that the class asks for."""

from __future__ import annotations

from ctcore.judgement import excitation as judgement
from ctcore.judgement.excitation_curve import CurveView, Point
from ctcore.judgement.excitation_targets import curve_of
from ctcore.procedure import FieldSpec, Procedure
from ctcore.takes import Take


def subject(take: Take) -> str:
    """What the take is about: the terminals fed, so that curves of several taps stand beside each other."""
    return take.method.cell("tap_id").value_text or ""


EXCITATION = Procedure(
    procedure_id="excitation",
    name="Excitation",
    short_name="Excitation",
    row_kind="points",
    method=(
        FieldSpec(quantity_id="tap_id", required=True),
        FieldSpec(quantity_id="frequency_hz", required=True),
        FieldSpec(quantity_id="voltage_response", required=True),
        FieldSpec(quantity_id="current_response", required=True),
        FieldSpec(quantity_id="demagnetised", required=True),
        FieldSpec(quantity_id="primary_state", required=True),
        FieldSpec(quantity_id="other_cores", required=True),
        FieldSpec(quantity_id="links", required=True),
    ),
    columns=(
        FieldSpec(quantity_id="v_excitation_v", required=True),
        FieldSpec(quantity_id="i_excitation_a", required=True),
    ),
    derived=(
        "v_knee_iec_v",
        "v_knee_tangent45_v",
        "v_knee_tangent30_v",
        "i_excitation_at_ek_a",
        "i_excitation_step_ratio",
        "composite_error_percent",
        "v_at_fs_current_v",
        "i_excitation_at_emf_a",
        "v_highest_v",
    ),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("excitation.part_winding", "excitation.test_voltage", "excitation.primary"),
    curve="excitation",
    per_subject=subject,
)

__all__ = ["EXCITATION", "CurveView", "Point", "curve_of", "subject"]
