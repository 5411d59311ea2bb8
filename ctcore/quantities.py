"""A row per quantity that is read or derived: its name, units, words and help."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal["number", "choice", "text"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One allowed answer: the word kept in the record and the word shown."""

    value: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """What an entry field, a column and a line of the sheet know about a quantity.

    `unit` is the trade unit of column and field; values are kept in the base unit of the same dimension.
    `least` and `greatest` are what is physically possible, in the base unit, not limits of judgement.
    """

    quantity_id: str
    name: str
    heading: str
    unit: str = ""
    kind: Kind = "number"
    choices: tuple[Choice, ...] = ()
    decimals: int | None = None
    signed: bool = False
    least: float | None = None
    greatest: float | None = None
    help_text: str = ""


def _choices(*pairs: tuple[str, str]) -> tuple[Choice, ...]:
    return tuple(Choice(value=value, words=words) for value, words in pairs)


METER_RESPONSES: Final = _choices(
    ("mean", "average, scaled to r.m.s."), ("true_rms", "true r.m.s."), ("peak", "peak")
)

# fmt: off
QUANTITIES: Final[tuple[Quantity, ...]] = (
    # Insulation
    Quantity(quantity_id="v_test_v", name="test voltage", heading="Test volts", unit="V", least=1.0,
             greatest=20e3, help_text="Direct voltage held during the reading."),
    Quantity(quantity_id="duration_s", name="time held", heading="Held for", unit="s", least=0.1,
             greatest=86400.0, help_text="Time from full voltage to the reading."),
    Quantity(quantity_id="insulation_resistance_ohm", name="insulation resistance", heading="Measured",
             unit="Mohm", least=0.0, greatest=1e18,
             help_text="As read; > marks a reading over the range of the instrument."),
    Quantity(quantity_id="insulation_resistance_20degc_ohm", name="insulation resistance at 20 °C",
             heading="At 20 °C", unit="Mohm", help_text="Corrected by the table named on the sheet."),
    # Temperatures
    Quantity(quantity_id="t_winding_degc", name="winding temperature", heading="Winding", unit="degC",
             decimals=1, least=-60.0, greatest=200.0,
             help_text="1 K of winding temperature is 0.39 % of its resistance."),
    Quantity(quantity_id="t_winding_source", name="winding temperature known by", heading="Known by",
             kind="choice",
             choices=_choices(("surface_probe", "surface probe"), ("ambient_settled", "ambient, settled"),
                              ("ambient_assumed", "ambient, assumed")),
             help_text="How the winding temperature was found; it is usually the largest uncertainty."),
    # Resistance
    Quantity(quantity_id="leads", name="lead arrangement", heading="Leads", kind="choice",
             choices=_choices(("four_wire", "four-wire"), ("two_wire", "two-wire, lead subtracted")),
             help_text="Two-wire readings want the resistance of the leads."),
    Quantity(quantity_id="r_lead_ohm", name="lead resistance", heading="Lead", unit="ohm", least=0.0,
             greatest=1e3,
             help_text="Resistance of both leads together, subtracted from two-wire readings."),
    Quantity(quantity_id="i_test_a", name="test current", heading="Current", unit="A", least=1e-6,
             greatest=1e3, help_text="Direct current at the reading."),
    Quantity(quantity_id="settle_s", name="settled for", heading="Settled", unit="s", least=0.0,
             greatest=86400.0, help_text="Time for which the reading had stood still."),
    Quantity(quantity_id="r_measured_ohm", name="resistance as read", heading="Measured", unit="ohm",
             least=1e-7, greatest=1e6,
             help_text="As the instrument showed it, before any lead is subtracted."),
    Quantity(quantity_id="r_winding_ohm", name="winding resistance at test temperature", heading="Winding",
             unit="ohm", help_text="As read, less the leads of a two-wire reading."),
    Quantity(quantity_id="r_winding_75degc_ohm", name="winding resistance at 75 °C", heading="At 75 °C",
             unit="ohm", help_text="R (Tk + 75)/(Tk + t), Tk 234.5 for copper."),
    Quantity(quantity_id="r_spread_percent", name="departure from the sister phases", heading="To sisters",
             unit="percent", decimals=1, signed=True,
             help_text="At 75 °C, from the middle of the sister phases; from the other where there are two."),
    Quantity(quantity_id="r_departure_percent", name="departure from the reference value",
             heading="To reference", unit="percent", decimals=1, signed=True,
             help_text="At 75 °C, from the certificate or the previous test."),
    Quantity(quantity_id="r_per_turn_departure_percent",
             name="resistance per turn against the whole winding", heading="Per turn", unit="percent",
             decimals=1, signed=True,
             help_text="A constant too much on every tap is a lead that was not subtracted."),
    Quantity(quantity_id="r_sections_departure_percent", name="sum of the sections against the whole",
             heading="Sections", unit="percent", decimals=1, signed=True,
             help_text="A lead left in stands in every section, so that their sum is too large."),
    # Ratio
    Quantity(quantity_id="ratio_method", name="method of the ratio test", heading="Method", kind="choice",
             choices=_choices(("voltage", "by voltage"), ("current", "by current"),
                              ("comparison", "against a reference transformer"),
                              ("instrument", "read from instrument")),
             help_text="By voltage gives the turns ratio; by current the ratio at the burden in circuit."),
    Quantity(quantity_id="k_reference_ratio", name="rated ratio of the reference transformer",
             heading="Reference kr", unit="1", least=1e-3, greatest=1e6,
             help_text="Ipr/Isr of the reference transformer at the terminals used."),
    Quantity(quantity_id="reference_error_percent", name="ratio error of the reference transformer",
             heading="Its error", unit="percent", signed=True, least=-10.0, greatest=10.0,
             help_text="From its certificate, near the current of the reading."),
    Quantity(quantity_id="i_reference_a", name="secondary current of the reference transformer",
             heading="Reference", unit="A", least=1e-9, greatest=1e4,
             help_text="Read in the same primary current as the transformer under test."),
    Quantity(quantity_id="burden_in_circuit_text", name="burden in circuit", heading="Burden in circuit",
             kind="text", help_text="What closed the secondary during the reading."),
    Quantity(quantity_id="burden_in_circuit_va", name="burden in circuit", heading="Burden", unit="VA",
             least=0.0, greatest=1e4, help_text="Burden during the reading, at rated secondary current."),
    Quantity(quantity_id="burden_power_factor_ratio", name="power factor of the burden",
             heading="Power factor", unit="1", decimals=2, least=0.0, greatest=1.0,
             help_text="Classes of IEC are proved at 0.8 lagging, at unity below 5 VA."),
    Quantity(quantity_id="i_percent_rated_percent", name="current in percent of rated", heading="Current",
             unit="percent", least=0.0, greatest=1e4,
             help_text="Primary current of the reading over rated."),
    Quantity(quantity_id="v_secondary_v", name="voltage on the secondary", heading="Secondary", unit="V",
             least=1e-6, greatest=1e4, help_text="Applied to the terminals of this tap."),
    Quantity(quantity_id="v_primary_v", name="voltage on the primary", heading="Primary", unit="mV",
             least=1e-9, greatest=1e4, help_text="Read across P1-P2."),
    Quantity(quantity_id="i_primary_a", name="primary current", heading="Primary", unit="A", least=1e-6,
             greatest=1e6, help_text="Injected P1 to P2."),
    Quantity(quantity_id="i_secondary_a", name="secondary current", heading="Secondary", unit="A",
             least=1e-9, greatest=1e4, help_text="Read in the closed secondary."),
    Quantity(quantity_id="ratio_error_read_percent", name="ratio error as read", heading="Error",
             unit="percent", signed=True, least=-100.0, greatest=100.0,
             help_text="(kr Is - Ip)/Ip: negative when the secondary reads low."),
    Quantity(quantity_id="phase_displacement_arcmin", name="phase displacement", heading="Phase",
             unit="arcmin", decimals=1, signed=True, least=-10800.0, greatest=10800.0,
             help_text="Positive when the secondary leads the primary."),
    Quantity(quantity_id="polarity_read", name="polarity", heading="Polarity", kind="choice",
             choices=_choices(("agrees", "agrees"), ("opposes", "opposes")),
             help_text="P1 and the first secondary terminal of the pair rise and fall together."),
    Quantity(quantity_id="turns_ratio", name="turns ratio Ns/Np", heading="Ns/Np", unit="1", decimals=2,
             help_text="Secondary over primary turns from the voltages."),
    Quantity(quantity_id="turns_ratio_error_percent", name="turns ratio error", heading="Turns error",
             unit="percent", decimals=2, signed=True,
             help_text="IEC sense on Np/Ns: fewer secondary turns is positive."),
    Quantity(quantity_id="ratio_error_percent", name="ratio error", heading="Ratio error", unit="percent",
             decimals=2, signed=True, help_text="(kr Is - Ip)/Ip: negative when the secondary reads low."),
    Quantity(quantity_id="rcf_ratio", name="ratio correction factor", heading="RCF", unit="1", decimals=4,
             help_text="True ratio over marked ratio."),
    Quantity(quantity_id="tcf_ratio", name="transformer correction factor", heading="TCF", unit="1",
             decimals=4,
             help_text="RCF less phase/2600, phase in minutes, positive when the secondary leads."),
    Quantity(quantity_id="polarity", name="polarity", heading="Polarity", kind="choice",
             choices=_choices(("agrees", "agrees"), ("opposes", "opposes")),
             help_text="Against the marking."),
    # Excitation
    Quantity(quantity_id="tap_id", name="tap fed", heading="Fed at", kind="text",
             help_text="Terminals that the voltage was applied to."),
    Quantity(quantity_id="frequency_hz", name="frequency", heading="Frequency", unit="Hz", decimals=1,
             least=0.1, greatest=1000.0, help_text="Frequency of the supply."),
    Quantity(quantity_id="voltage_response", name="response of the voltmeter",
             heading="Volts read by", kind="choice",
             choices=METER_RESPONSES,
             help_text="The standard asks for a mean-sensing meter scaled to r.m.s."),
    Quantity(quantity_id="current_response", name="response of the ammeter", heading="Current read by",
             kind="choice", choices=METER_RESPONSES,
             help_text="The standard asks for true r.m.s., crest factor of 3 or more."),
    Quantity(quantity_id="demagnetised", name="whether the core was demagnetised",
             heading="Demagnetised", kind="choice",
             choices=_choices(("yes_no_dc_since", "yes, no d.c. since"), ("no", "no")),
             help_text="Remanence lowers the first part of the curve."),
    Quantity(quantity_id="primary_state", name="state of the primary", heading="Primary", kind="choice",
             choices=_choices(("open", "open"), ("closed", "closed"), ("not_known", "not known")),
             help_text="A closed primary loop adds current to every core of the transformer."),
    Quantity(quantity_id="other_cores", name="state of the other cores", heading="Other cores", kind="choice",
             choices=_choices(("shorted", "shorted"), ("open", "open"), ("none", "no other core")),
             help_text="State of the other cores of the same transformer."),
    Quantity(quantity_id="links", name="state of the links", heading="Links", kind="choice",
             choices=_choices(("lifted", "lifted"), ("closed", "closed")),
             help_text="Whether the winding was separated from its burden."),
    Quantity(quantity_id="further_readings", name="further readings", heading="Also read", kind="choice",
             choices=_choices(("angle", "angle"), ("peak", "peak"), ("angle_peak", "angle and peak"),
                              ("remanence", "remanence"), ("peak_remanence", "peak and remanence")),
             help_text="Angle and peak of the exciting current; remanence as a d.c. method gives it."),
    Quantity(quantity_id="remanence_read_percent", name="remanence factor", heading="Remanence",
             unit="percent", decimals=1, least=0.0, greatest=100.0,
             help_text="Remanent over saturation flux, by a d.c. method."),
    Quantity(quantity_id="v_excitation_v", name="exciting voltage", heading="Volts", unit="V", least=0.0,
             greatest=2e4, help_text="At the terminals fed, going up only."),
    Quantity(quantity_id="i_excitation_a", name="exciting current", heading="Current", unit="mA", least=0.0,
             greatest=1e3, help_text="At the terminals fed."),
    Quantity(quantity_id="i_excitation_peak_a", name="peak of the exciting current", heading="Peak",
             unit="mA", least=0.0, greatest=1e4, help_text="Crest value, for classes TPX, TPY and TPZ."),
    Quantity(quantity_id="phase_excitation_deg", name="lag of the exciting current", heading="Lag",
             unit="deg", decimals=1, least=-90.0, greatest=90.0,
             help_text="By how much the current lags the voltage; errors are then calculated, not bounded."),
    Quantity(quantity_id="v_knee_iec_v", name="knee 10/50", heading="Knee 10/50", unit="V",
             help_text="10 % more voltage raises the current by 50 % (IEC 61869-2)."),
    Quantity(quantity_id="v_knee_tangent45_v", name="knee 45° tangent", heading="Knee 45°", unit="V",
             help_text="Point of greatest V/I on equal decades."),
    Quantity(quantity_id="v_knee_tangent30_v", name="knee 30° tangent", heading="Knee 30°", unit="V",
             help_text="Slope 0.577 on equal decades, for gapped cores."),
    Quantity(quantity_id="i_excitation_at_ek_a", name="exciting current at Ek", heading="Ie at Ek",
             unit="mA", help_text="From the curve at the rated knee voltage."),
    Quantity(quantity_id="i_excitation_step_ratio", name="Ie at 1.1 Ek over Ie at Ek", heading="Ie step",
             unit="1", decimals=2, help_text="At most 1.50 at the rated knee."),
    Quantity(quantity_id="composite_error_percent", name="composite error, indirect", heading="Composite",
             unit="percent", decimals=2, help_text="100 Ie(E)/(ALF Isr) at the limiting e.m.f."),
    Quantity(quantity_id="v_at_fs_current_v", name="voltage at 10 % of FS Isr", heading="V at FS", unit="V",
             help_text="Exciting voltage at which Ie is 10 % of FS times rated secondary current."),
    Quantity(quantity_id="i_excitation_at_emf_a", name="exciting current at the class e.m.f.",
             heading="Ie at E", unit="mA",
             help_text="From the curve at the e.m.f. that the class asks for."),
    Quantity(quantity_id="i_excitation_peak_at_eal_a", name="peak exciting current at Eal",
             heading="Peak at Eal", unit="mA", help_text="From the curve of peak readings at Eal of the class."),
    Quantity(quantity_id="errors_calculated_text", name="errors calculated from the curve",
             heading="Calculated errors", kind="text",
             help_text="Furthest from zero; calculated, not a substitute for the direct test."),
    Quantity(quantity_id="emf_class_v", name="e.m.f. of the class", heading="E of class", unit="V",
             help_text="Limiting e.m.f. with the winding at 75 °C, by phasors."),
    Quantity(quantity_id="emf_class_arithmetic_v", name="e.m.f. of the class by adding sizes",
             heading="E, added", unit="V", help_text="The stricter form in use for IEEE relaying classes."),
    Quantity(quantity_id="operating_factor_plate_ratio", name="factor at the connected burden, by plate",
             heading="Factor, plate", unit="1", decimals=1,
             help_text="Accuracy limit or security factor with the burden connected."),
    Quantity(quantity_id="operating_factor_curve_ratio", name="factor at the connected burden, by curve",
             heading="Factor, curve", unit="1", decimals=1,
             help_text="Where the composite error reaches its limit with the burden connected."),
    Quantity(quantity_id="l_unsaturated_h", name="unsaturated inductance", heading="L unsaturated", unit="H",
             help_text="V/(2 pi f I) where it is greatest."),
    Quantity(quantity_id="v_per_turn_departure_percent", name="volts per turn against the other tap",
             heading="Per turn", unit="percent", decimals=1, signed=True,
             help_text="At equal ampere-turns; the curves of all taps fall on one line."),
    Quantity(quantity_id="curve_departure_percent", name="departure from the curve of the sister phases",
             heading="To sisters", unit="percent", decimals=1, signed=True,
             help_text="Volts at equal current over the upper half of the curve."),
    Quantity(quantity_id="v_highest_v", name="highest reading", heading="Highest", unit="V",
             help_text="Where the readings end."),
    # Visual inspection, links and earths
    Quantity(quantity_id="check_answer", name="seen and in order", heading="In order", kind="choice",
             choices=_choices(("yes", "yes"), ("no", "no"), ("not_applicable", "not applicable")),
             help_text="What was not looked at stays empty."),
    Quantity(quantity_id="check_text", name="what was seen", heading="Seen", kind="text",
             help_text="What is not in order, or a number read there."),
    Quantity(quantity_id="earths_drawn_count", name="secondary earths on the drawing",
             heading="Earths drawn", unit="1", decimals=0, least=0.0, greatest=100.0,
             help_text="Of the circuit of this core; there is to be one."),
    Quantity(quantity_id="earths_found_count", name="secondary earths found", heading="Earths found",
             unit="1", decimals=0, least=0.0, greatest=100.0,
             help_text="Counted, with the drawn earth lifted and the circuit tested to earth."),
    Quantity(quantity_id="earth_place_text", name="place of the secondary earth", heading="Earthed at",
             kind="text", help_text="Terminal and box."),
    Quantity(quantity_id="links_found_count", name="links found closed", heading="Links found closed",
             unit="1", decimals=0, least=0.0, greatest=1000.0,
             help_text="Of the circuit of this core, before anything was touched."),
    Quantity(quantity_id="links_lifted_count", name="links lifted", heading="Links lifted", unit="1",
             decimals=0, least=0.0, greatest=1000.0, help_text="For the tests; each one labelled."),
    Quantity(quantity_id="links_closed_count", name="links closed again", heading="Links closed", unit="1",
             decimals=0, least=0.0, greatest=1000.0, help_text="Counted by a second person."),
    Quantity(quantity_id="earths_left_count", name="secondary earths as left", heading="Earths left",
             unit="1", decimals=0, least=0.0, greatest=100.0, help_text="There is to be one."),
    Quantity(quantity_id="r_proof_ohm", name="resistance of the proof", heading="Measured", unit="ohm",
             least=0.0, greatest=1e12, help_text="Looking in at the test block, or across the joint."),
    Quantity(quantity_id="r_loop_spread_percent", name="loop against the sister phases",
             heading="To sisters", unit="percent", decimals=1, signed=True,
             help_text="From the middle of the sister phases; from the other where there are two."),
    # Polarity by kick
    Quantity(quantity_id="kick_make", name="pointer on make", heading="On make", kind="choice",
             choices=_choices(("up", "up"), ("down", "down"), ("none", "no kick")),
             help_text="Battery plus on P1, meter plus on the first terminal of the pair."),
    Quantity(quantity_id="kick_break", name="pointer on break", heading="On break", kind="choice",
             choices=_choices(("up", "up"), ("down", "down"), ("none", "no kick")),
             help_text="The other way round than on make."),
    # Demagnetising
    Quantity(quantity_id="demagnetising_method", name="method of demagnetising", heading="Method",
             kind="choice",
             choices=_choices(("ac_ramp", "alternating voltage, run down"),
                              ("alternating_dc", "direct current, reversed in steps")),
             help_text="Both start past saturation and end at zero."),
    Quantity(quantity_id="v_start_v", name="starting voltage", heading="Start volts", unit="V", least=0.0,
             greatest=2e4, help_text="Highest voltage, from which it was run down."),
    Quantity(quantity_id="i_start_a", name="starting current", heading="Start current", unit="A", least=0.0,
             greatest=1e3, help_text="Highest current, from which it was run down."),
    Quantity(quantity_id="v_start_wanted_v", name="starting voltage by the plan", heading="Start from",
             unit="V", help_text="1.2 times the knee of this core, never above the ceiling of the job."),
    Quantity(quantity_id="steps_count", name="number of steps", heading="Steps", unit="1", decimals=0,
             least=0.0, greatest=1e4, help_text="Reversals, or steps of the voltage on the way down."),
    Quantity(quantity_id="time_to_zero_s", name="time to zero", heading="To zero in", unit="s", least=0.0,
             greatest=86400.0, help_text="From the starting level down to zero."),
    Quantity(quantity_id="demagnetising_end", name="how it ended", heading="Ended", kind="choice",
             choices=_choices(("zero", "at zero"), ("interrupted", "interrupted above zero")),
             help_text="A supply that trips on the way leaves the core magnetised."),
    Quantity(quantity_id="i_low_end_change_percent", name="low end of the curve against the sister phases",
             heading="Low end", unit="percent", decimals=0, signed=True,
             help_text="Exciting current below a third of the knee, after demagnetising."),
    # Burden
    Quantity(quantity_id="v_burden_v", name="voltage on the burden", heading="Volts", unit="V", least=1e-6,
             greatest=1e4, help_text="At the terminals of the transformer, looking to the relay."),
    Quantity(quantity_id="i_burden_a", name="current in the burden", heading="Current", unit="A", least=1e-6,
             greatest=1e3, help_text="Injected towards the relay; rated secondary current where it may be."),
    Quantity(quantity_id="phase_burden_deg", name="angle of the burden", heading="Angle", unit="deg",
             decimals=1, signed=True, least=-180.0, greatest=180.0,
             help_text="Positive when the current lags."),
    Quantity(quantity_id="wire_area_mm2", name="cross-section of the leads", heading="Cross-section",
             unit="mm2", least=0.05, greatest=1e3, help_text="Copper, class 2."),
    Quantity(quantity_id="wire_length_m", name="length of the leads, one way", heading="Length", unit="m",
             least=0.0, greatest=1e5, help_text="From the transformer to the relay."),
    Quantity(quantity_id="wire_loop", name="loop of the leads", heading="Counted", kind="choice",
             choices=_choices(("there_and_back", "there and back"), ("one_way", "one way")),
             help_text="One way only for balanced three-phase current with a common return."),
    Quantity(quantity_id="z_burden_ohm", name="burden", heading="Z", unit="ohm",
             help_text="Volts over amperes."),
    Quantity(quantity_id="r_burden_ohm", name="resistance of the burden", heading="R", unit="ohm",
             help_text="Z times the cosine of the angle."),
    Quantity(quantity_id="x_burden_ohm", name="reactance of the burden", heading="X", unit="ohm",
             signed=True, help_text="Z times the sine of the angle."),
    Quantity(quantity_id="burden_connected_va", name="connected burden", heading="Burden", unit="VA",
             help_text="Z at the square of the rated secondary current."),
    Quantity(quantity_id="r_wire_ohm", name="resistance of the leads by length", heading="Leads", unit="ohm",
             help_text="Greatest resistance of the cross-section, at 20 °C."),
    # Primary injection and load
    Quantity(quantity_id="i_residual_a", name="residual current", heading="Residual", unit="A", least=0.0,
             greatest=1e4, help_text="In the common return of the phases."),
    Quantity(quantity_id="i_residual_share_percent", name="residual over the phase current",
             heading="Residual", unit="percent", decimals=1,
             help_text="0 between two phases of right polarity, 200 where one is turned round."),
    Quantity(quantity_id="voltage_reference_text", name="voltage that angles are read against",
             heading="Angles against", kind="text", help_text="Which voltage, at which test block."),
    Quantity(quantity_id="i_load_primary_a", name="primary load current", heading="Load", unit="A",
             least=0.0, greatest=1e6, help_text="As the control room or another circuit reads it."),
    Quantity(quantity_id="phase_to_reference_deg", name="angle to the reference", heading="Angle",
             unit="deg", decimals=1, signed=True, least=-360.0, greatest=360.0,
             help_text="Positive when the current leads the reference voltage."),
    Quantity(quantity_id="load_percent", name="load in percent of rated current", heading="Load",
             unit="percent", decimals=1, help_text="Secondary current over rated secondary current."),
    Quantity(quantity_id="i_residual_vector_a", name="vector sum of the phases", heading="Vector sum",
             unit="A", help_text="Of the three secondary currents with their angles."),
    # Every procedure
    Quantity(quantity_id="retest_reason_text", name="reason of the retest", heading="Taken again because",
             kind="text", help_text="Why the test was taken again; the earlier result stays beside it."),
    Quantity(quantity_id="judgement", name="test", heading="Test", kind="text",
             help_text="Stands for a test as a whole, where nothing in it could be judged."),
)
# fmt: on

_BY_ID: Final = {row.quantity_id: row for row in QUANTITIES}


def quantity(quantity_id: str) -> Quantity:
    """The row of that id.

    >>> quantity("r_winding_75degc_ohm").heading
    'At 75 °C'
    """
    return _BY_ID[quantity_id]
