"""The excitation curve: readings, knees, the next reading, comparison, inductance.

>>> from ctcore.curve import Curve, Knee, NoKnee
"""

from ctcore.curve.comparison import Comparison, Deviation, TakenAs, compare, refusals
from ctcore.curve.curve import Curve
from ctcore.curve.energy import stored_energy_j
from ctcore.curve.envelope import EnvelopePoint, envelope
from ctcore.curve.inductance import Inductance, inductance, unsaturated
from ctcore.curve.knee import DEFINITIONS, RULES, Definition, Knee, KneeRule
from ctcore.curve.next_reading import NextReading, next_reading, next_voltage_v, rise_v
from ctcore.curve.readings import Readings, mark_reversed
from ctcore.curve.remanence import RemanenceSign, remanence
from ctcore.curve.volts_per_turn import Tap, TapLine, on_one_line
from ctcore.errors import NoKnee

__all__ = [
    "DEFINITIONS",
    "RULES",
    "Comparison",
    "Curve",
    "Definition",
    "Deviation",
    "EnvelopePoint",
    "Inductance",
    "Knee",
    "KneeRule",
    "NextReading",
    "NoKnee",
    "Readings",
    "RemanenceSign",
    "TakenAs",
    "Tap",
    "TapLine",
    "compare",
    "envelope",
    "inductance",
    "mark_reversed",
    "next_reading",
    "next_voltage_v",
    "on_one_line",
    "refusals",
    "remanence",
    "rise_v",
    "stored_energy_j",
    "unsaturated",
]
