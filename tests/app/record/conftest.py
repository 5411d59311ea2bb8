"""Envelopes that open fast: the memory that a thief has to pay for is asked for by one test alone."""

from __future__ import annotations

import pytest

from app.record import envelope


@pytest.fixture
def light(monkeypatch: pytest.MonkeyPatch) -> None:
    """Envelopes of 64 KiB."""
    monkeypatch.setattr(envelope, "MEMORY_KIB", 64)
