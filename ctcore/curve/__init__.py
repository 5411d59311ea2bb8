"""The excitation curve: readings, knees, comparison, inductance.

>>> from ctcore.curve import Curve, Knee, NoKnee
"""

from ctcore.curve.curve import Curve
from ctcore.curve.knee import DEFINITIONS, RULES, Definition, Knee, KneeRule
from ctcore.curve.readings import Readings, mark_reversed
from ctcore.errors import NoKnee

__all__ = [
    "DEFINITIONS",
    "RULES",
    "Curve",
    "Definition",
    "Knee",
    "KneeRule",
    "NoKnee",
    "Readings",
    "mark_reversed",
]
