"""Quantities of the duty of a relay."""

from __future__ import annotations

from typing import Final

from ctcore.quantities.row import Quantity

# fmt: off
DUTY: Final[tuple[Quantity, ...]] = (
    Quantity(quantity_id="i_fault_primary_a", name="fault current in the primary", heading="Fault current",
             unit="A", least=1e-3, greatest=1e6, help_text="Symmetrical, r.m.s.; the greatest outside."),
    Quantity(quantity_id="i_fault_internal_a", name="internal fault current", heading="Internal", unit="A",
             least=1e-3, greatest=1e6, help_text="In the primary, inside the zone: for the peak voltage."),
    Quantity(quantity_id="r_loop_ohm", name="resistance of the lead loop", heading="Loop", unit="ohm",
             least=0.0, greatest=1e4, help_text="There and back, to the common point."),
    Quantity(quantity_id="r_relay_ohm", name="resistance of the relay", heading="Relay", unit="ohm",
             least=0.0, greatest=1e5, help_text="From the relay's own papers."),
    Quantity(quantity_id="i_setting_a", name="setting current", heading="Setting", unit="A", least=1e-6,
             greatest=1e3, help_text="Operating current of the relay, secondary."),
    Quantity(quantity_id="factor_k_ratio", name="factor of the relay", heading="Factor K", unit="1",
             least=1e-3, greatest=1e3, help_text="From the relay's own papers; none is built in."),
    Quantity(quantity_id="x_over_r_ratio", name="X/R of the fault", heading="X/R", unit="1", least=1e-3,
             greatest=1e3, help_text="At the place of the fault."),
    Quantity(quantity_id="remanence_ratio", name="remanence to reckon with", heading="Remanence", unit="1",
             least=0.0, greatest=0.99, help_text="Share of the saturation flux, 0 to 0.99."),
    Quantity(quantity_id="v_stability_v", name="stability voltage", heading="Stability", unit="V",
             help_text="Volts that a through-fault puts across the relay, one core saturated.",
             formula_text="If/n (Rct + Rl)", source_text="common practice, no source"),
    Quantity(quantity_id="v_knee_least_v", name="least knee voltage", heading="Least knee", unit="V",
             help_text="Twice the stability voltage.",
             formula_text="2 Vs", source_text="common practice, no source"),
    Quantity(quantity_id="r_stabilising_ohm", name="stabilising resistor", heading="Resistor", unit="ohm",
             help_text="In series with the relay.",
             formula_text="Vs/Is − Rr", source_text="common practice, no source"),
    Quantity(quantity_id="v_peak_v", name="peak voltage without limiter", heading="Peak", unit="V",
             help_text="Of an internal fault at the open relay.",
             formula_text="2 √(2 Vk (Vf − Vk))", source_text="common practice, no source"),
    Quantity(quantity_id="v_knee_required_v", name="knee voltage required", heading="Knee asked", unit="V",
             help_text="By the factor of the relay.",
             formula_text="K If/n (Rct + Rl + Rr)", source_text="the factor is the user's"),
    Quantity(quantity_id="v_saturation_free_v", name="saturation-free voltage", heading="Without saturation",
             unit="V", help_text="Full offset.",
             formula_text="If/n Z (1 + X/R)/(1 − remanence)",
             source_text="IEEE C37.110-2007, from memory"),
    Quantity(quantity_id="t_saturation_s", name="time to saturation", heading="Saturates after", unit="s",
             help_text="From the start of a fault with full offset.",
             formula_text="−T1 ln(1 − (Ks − 1)/(X/R))", source_text="IEEE C37.110-2007, from memory"),
)
# fmt: on
