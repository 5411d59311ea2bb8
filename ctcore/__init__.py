"""Calculation and judgement for current transformer tests.

Needs the standard library and numpy; touches no screen, file, network or clock.
"""

__version__ = "0.1.0"
