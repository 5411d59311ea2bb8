"""The excitation curve: readings, knees, the next reading, comparison, inductance.

>>> from ctcore.curve import Curve, Knee, NoKnee
"""

from ctcore.curve.comparison import Comparison, Deviation, TakenAs, at_frequency, compare, refusals
from ctcore.curve.curve import Curve
from ctcore.curve.envelope import EnvelopePoint, EnvelopeRule, envelope, point_against
from ctcore.curve.inductance import Inductance, inductance
from ctcore.curve.knee import DEFINITIONS, RULES, Definition, Knee, KneeRule
from ctcore.curve.next_reading import NextReading, next_reading, next_voltage_v
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
    "EnvelopeRule",
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
    "at_frequency",
    "compare",
    "envelope",
    "inductance",
    "mark_reversed",
    "next_reading",
    "next_voltage_v",
    "on_one_line",
    "point_against",
    "refusals",
    "remanence",
]
