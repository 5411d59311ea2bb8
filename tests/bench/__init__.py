"""Benchmarks, each beside its yardstick in the same run: `python -m tests.bench [NAME ...] [--json]`."""
