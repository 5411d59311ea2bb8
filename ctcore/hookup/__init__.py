"""How a test is wired: a drawing in plain geometry, and the list of leads to be ticked as they are landed."""

from ctcore.hookup.circuits import circuit_of
from ctcore.hookup.drawing import WORDS_TALL, Arc, Drawing, Stroke, Words
from ctcore.hookup.leads import Lead, leads_of
from ctcore.hookup.setup import Setup, setup_of

__all__ = [
    "WORDS_TALL",
    "Arc",
    "Drawing",
    "Lead",
    "Setup",
    "Stroke",
    "Words",
    "circuit_of",
    "leads_of",
    "setup_of",
]
