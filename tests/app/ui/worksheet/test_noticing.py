"""What is done when the keys rest."""

from __future__ import annotations

import gc

import pytest


@pytest.fixture
def thawed():
    """The collector as it was."""
    gc.unfreeze()
    yield
    gc.unfreeze()


def test_a_large_job_is_set_aside_from_the_collector_once(excitation, monkeypatch, thawed):
    monkeypatch.setattr("app.ui.worksheet.noticing.LARGE_COUNT", 0)
    excitation.noticing.look()
    frozen_count = gc.get_freeze_count()
    made_since = [[] for _ in range(1000)]
    excitation.noticing.look()
    assert len(made_since) == 1000
    assert 0 < gc.get_freeze_count() <= frozen_count


def test_a_small_job_is_left_to_the_collector(excitation, thawed):
    excitation.noticing.look()
    assert gc.get_freeze_count() == 0
