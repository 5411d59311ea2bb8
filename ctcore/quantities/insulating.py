"""Quantities of insulation and of the temperature that it and the winding have."""

from __future__ import annotations

from typing import Final

from ctcore.quantities.row import Quantity, choices

# fmt: off
INSULATING: Final[tuple[Quantity, ...]] = (
    # Insulation
    Quantity(quantity_id="v_test_v", name="test voltage", heading="Test volts", unit="V", least=1.0,
             greatest=20e3, help_text="Direct voltage held during the reading."),
    Quantity(quantity_id="duration_s", name="time held", heading="Held for", unit="s", least=0.1,
             greatest=86400.0, help_text="Time from full voltage to the reading.",
             formula_text="to discharge: at least 4 × the time held",
             source_text="insulation-test practice, from memory"),
    Quantity(quantity_id="insulation_resistance_ohm", name="insulation resistance", heading="Measured",
             unit="Mohm", least=0.0, greatest=1e18,
             help_text="As read; > marks a reading over the range of the instrument.",
             formula_text="at 20 °C: as read × the factor of the temperature",
             source_text="the table named on the sheet"),
    Quantity(quantity_id="insulation_resistance_20degc_ohm", name="insulation resistance at 20 °C",
             heading="At 20 °C", unit="Mohm", help_text="Corrected by the table named on the sheet.",
             formula_text="as read × 2^((t − 20)/10), or × the factor of the table named",
             source_text="halving: common practice, no source; tables: as each names"),
    # Insulation over time
    Quantity(quantity_id="insulation_pair", name="pair that the volts stand between", heading="Between",
             kind="choice",
             choices=choices(("secondary_earth", "this secondary and earth"),
                             ("secondary_secondary", "this secondary and the others"),
                             ("primary_secondary", "primary and secondaries"),
                             ("primary_earth", "primary and earth")),
             help_text="Each pair is a take of its own; the limit goes by it."),
    Quantity(quantity_id="absorption_ratio", name="absorption ratio", heading="60 s/30 s", unit="1",
             decimals=2, help_text="Shown, not judged: its limits are of rotating machines.",
             formula_text="R(60 s)/R(30 s)", source_text="insulation-test practice, from memory"),
    Quantity(quantity_id="polarisation_index_ratio", name="polarisation index", heading="10 min/1 min",
             unit="1", decimals=2, help_text="Shown, not judged: its limits are of rotating machines.",
             formula_text="R(10 min)/R(1 min)", source_text="IEEE 43, definition, from memory"),
    # Temperatures
    Quantity(quantity_id="t_winding_degc", name="winding temperature", heading="Winding", unit="degC",
             decimals=1, least=-60.0, greatest=200.0,
             help_text="1 K of winding temperature is 0.39 % of its resistance.",
             formula_text="R at 75 °C = R (Tk + 75)/(Tk + t), Tk 234.5 °C or 235 °C for copper",
             source_text="Tk by IEC 60228:2004 and IEC 60076-1:2011; the form is arithmetic"),
    Quantity(quantity_id="t_winding_source", name="winding temperature known by", heading="Known by",
             kind="choice",
             choices=choices(("surface_probe", "surface probe"), ("ambient_settled", "ambient, settled"),
                              ("ambient_assumed", "ambient, assumed")),
             help_text="How the winding temperature was found; it is usually the largest uncertainty."),
)
# fmt: on
