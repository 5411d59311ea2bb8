"""The limits that an office may set for a class of cores: the rule that each replaces, and its quantity."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

OFFICE_RULES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "insulation.secondary": "insulation_resistance_20degc_ohm",
        "insulation.primary": "insulation_resistance_20degc_ohm",
        "resistance.limit": "r_winding_75degc_ohm",
        "resistance.sisters": "r_spread_percent",
        "resistance.certificate": "r_departure_percent",
        "resistance.previous": "r_departure_percent",
        "resistance.turns": "r_per_turn_departure_percent",
        "resistance.sections": "r_sections_departure_percent",
        "ratio.turns": "turns_ratio_error_percent",
        "ratio.error": "ratio_error_percent",
        "ratio.phase": "phase_displacement_arcmin",
        "ratio.rcf": "rcf_ratio",
        "ratio.tcf": "tcf_ratio",
        "ratio.relay": "ratio_error_percent",
        "excitation.ie_at_ek": "i_excitation_at_ek_a",
        "excitation.step": "i_excitation_step_ratio",
        "excitation.knee": "v_knee_iec_v",
        "excitation.composite": "composite_error_percent",
        "excitation.remanence": "remanence_read_percent",
        "excitation.security": "v_at_fs_current_v",
        "excitation.peak": "i_excitation_peak_at_eal_a",
        "excitation.relay": "i_excitation_at_emf_a",
        "excitation.knee_k": "v_knee_tangent45_v",
        "excitation.knee_x": "v_knee_tangent45_v",
        "excitation.taps": "v_per_turn_departure_percent",
        "excitation.sisters": "curve_departure_percent",
    }
)
