"""Fault suites, each with a weakened control that must be caught: `python -m tests.faults [NAME ...] [--long]`."""
