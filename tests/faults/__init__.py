"""Fault suites, each with a weakened control to be caught: `python -m tests.faults [NAME ...] [--long]`."""
