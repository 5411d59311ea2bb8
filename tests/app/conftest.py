"""Two people on two computers, for what goes from one to the other."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.app.desk import making
from tests.app.desk.making import Clock, Seat


@pytest.fixture
def one(tmp_path: Path) -> Iterator[Seat]:
    seat = making.seat(tmp_path / "one", "T. Adder", Clock())
    yield seat
    seat.close()


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Seat]:
    seat = making.seat(tmp_path / "two", "R. Second", Clock())
    yield seat
    seat.close()
