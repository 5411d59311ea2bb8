"""Ratio, phase displacement and polarity: by voltage, by current, against a reference, or as shown."""

from __future__ import annotations

from ctcore.judgement import ratio as judgement
from ctcore.procedure import FieldSpec, Procedure
from ctcore.takes import Cell, Take

_BY_CURRENT = ("ratio_method", ("current", "comparison", "instrument"))
_VOLTAGE = ("ratio_method", ("voltage",))
_CURRENT = ("ratio_method", ("current",))
_COMPARISON = ("ratio_method", ("comparison",))
_SECONDARY = ("ratio_method", ("current", "comparison"))
_INSTRUMENT = ("ratio_method", ("instrument",))


def subject(take: Take) -> str:
    """What the take is about: the method, the burden and the percentages of rated current.

    Takes at unlike burdens or currents stand beside each other; a retest at the same ones replaces.
    """
    method = take.method.cell("ratio_method").value_text or ""
    burden = _figure(take.method.cell("burden_in_circuit_va"))
    percents = sorted(_figure(row.cell("i_percent_rated_percent")) for row in take.rows)
    return "|".join((method, burden, *dict.fromkeys(percents)))


def _figure(cell: Cell) -> str:
    """To three digits: 100 and 100.0 are one subject."""
    return "" if cell.number is None else f"{cell.number:.3g}"


RATIO = Procedure(
    procedure_id="ratio",
    name="Ratio and polarity",
    short_name="Ratio",
    row_kind="taps",
    method=(
        FieldSpec(quantity_id="ratio_method", required=True),
        FieldSpec(quantity_id="burden_in_circuit_va", required=True, shown_when=_BY_CURRENT),
        FieldSpec(quantity_id="burden_power_factor_ratio", required=True, shown_when=_BY_CURRENT),
        FieldSpec(quantity_id="burden_in_circuit_text", shown_when=_BY_CURRENT),
        FieldSpec(quantity_id="k_reference_ratio", required=True, shown_when=_COMPARISON),
        FieldSpec(quantity_id="reference_error_percent", required=True, shown_when=_COMPARISON),
        FieldSpec(quantity_id="u_reference_error_percent", shown_when=_COMPARISON),
        FieldSpec(quantity_id="reference_phase_arcmin", shown_when=_COMPARISON),
        FieldSpec(quantity_id="u_reference_phase_arcmin", shown_when=_COMPARISON),
    ),
    columns=(
        FieldSpec(quantity_id="v_secondary_v", required=True, shown_when=_VOLTAGE),
        FieldSpec(quantity_id="v_primary_v", required=True, shown_when=_VOLTAGE),
        FieldSpec(quantity_id="i_excitation_a", shown_when=_VOLTAGE),
        FieldSpec(quantity_id="i_primary_a", required=True, shown_when=_CURRENT),
        FieldSpec(quantity_id="i_reference_a", required=True, shown_when=_COMPARISON),
        FieldSpec(quantity_id="i_secondary_a", required=True, shown_when=_SECONDARY),
        FieldSpec(quantity_id="i_percent_rated_percent", required=True, shown_when=_INSTRUMENT),
        FieldSpec(quantity_id="ratio_error_read_percent", required=True, shown_when=_INSTRUMENT),
        FieldSpec(quantity_id="phase_displacement_arcmin"),
        FieldSpec(quantity_id="polarity_read"),
    ),
    derived=("turns_ratio", "turns_ratio_error_percent", "ratio_error_percent", "polarity"),
    derive=judgement.derive,
    judge=judgement.judge,
    cautions=("ratio.part_winding", "ratio.open_secondary"),
    per_subject=subject,
)
