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
        FieldSpec(quantity_id="further_readings"),
        FieldSpec(
            quantity_id="remanence_read_percent",
            shown_when=("further_readings", ("remanence", "peak_remanence")),
        ),
    ),
    columns=(
        FieldSpec(quantity_id="v_excitation_v", required=True),
        FieldSpec(quantity_id="i_excitation_a", required=True),
        FieldSpec(
            quantity_id="phase_excitation_deg", shown_when=("further_readings", ("angle", "angle_peak"))
        ),
        FieldSpec(
            quantity_id="i_excitation_peak_a",
            shown_when=("further_readings", ("peak", "angle_peak", "peak_remanence")),
        ),
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
        "i_excitation_peak_at_eal_a",
        "remanence_read_percent",
        "emf_class_v",
        "emf_class_arithmetic_v",
        "operating_factor_plate_ratio",
        "operating_factor_curve_ratio",
        "l_unsaturated_h",
        "errors_calculated_text",
        "v_per_turn_departure_percent",
        "curve_departure_percent",
        "v_highest_v",
    ),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("excitation.part_winding", "excitation.test_voltage", "excitation.primary"),
    curve="excitation",
    per_subject=subject,
)

__all__ = ["EXCITATION", "CurveView", "Point", "curve_of", "subject"]
