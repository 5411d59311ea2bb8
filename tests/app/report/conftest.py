"""Sheets to read back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from app.report.sheet import SheetInput, render
from ctcore.job import Job
from tests.app.report.making import set_of
from tests.app.report.reading_back import flat, text_of


@pytest.fixture
def three_phases() -> Job:
    """Three phases of one protection core with curves of 14 points."""
    return set_of(("L1", "L2", "L3"))


@pytest.fixture
def printed(tmp_path: Path) -> Callable[[SheetInput], str]:
    """The text of a sheet on one line."""
    return lambda given: flat(text_of(render(given), tmp_path))
