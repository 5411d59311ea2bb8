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
    # Ratio
    Quantity(quantity_id="ratio_method", name="method of the ratio test", heading="Method", kind="choice",
             choices=_choices(("voltage", "by voltage"), ("current", "by current"),
                              ("instrument", "read from instrument")),
             help_text="By voltage gives the turns ratio; by current the ratio at the burden in circuit."),
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
    Quantity(quantity_id="v_excitation_v", name="exciting voltage", heading="Volts", unit="V", least=0.0,
             greatest=2e4, help_text="At the terminals fed, going up only."),
    Quantity(quantity_id="i_excitation_a", name="exciting current", heading="Current", unit="mA", least=0.0,
             greatest=1e3, help_text="At the terminals fed."),
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
    Quantity(quantity_id="v_highest_v", name="highest reading", heading="Highest", unit="V",
             help_text="Where the readings end."),
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
