"""One suite in a process of its own, which finds this function by its module."""

from __future__ import annotations

import importlib
from typing import Any


def run_suite(name: str, long: bool) -> dict[str, Any]:
    """The result of the suite of that name."""
    found: dict[str, Any] = importlib.import_module(f"tests.faults.{name}").run(long)
    return found
