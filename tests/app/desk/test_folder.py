"""A job left in the shared folder by a laptop without a network, and taken in at the office."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.folder import folder_of, waiting_in
from tests.app.desk import making
from tests.app.desk.making import Clock, Seat


@pytest.fixture
def shared(tmp_path: Path) -> Path:
    (tmp_path / "shared").mkdir()
    return tmp_path / "shared"


@pytest.fixture
def seats(tmp_path: Path, shared: Path) -> Iterator[tuple[Seat, Seat]]:
    made = (
        making.seat(tmp_path / "one", "T. Adder", Clock()),
        making.seat(tmp_path / "two", "R. Second", Clock()),
    )
    for seat in made:
        seat.desk.settings.change(exchange_folder_text=str(shared))
    yield made
    for seat in made:
        seat.close()


def test_an_open_job_goes_there_as_a_draft_and_comes_in_at_the_office(seats: tuple[Seat, Seat]) -> None:
    laptop, office = seats
    job_id = making.complete_job(laptop.desk)
    path = laptop.desk.send_to_folder(job_id)
    folder = folder_of(office.desk.settings)
    assert folder is not None
    waiting_in(folder)
    (one,) = waiting_in(folder)
    assert (one.kind, one.state, one.path) == ("draft", "ready", path)

    office.desk.take_in(one.path)
    folder.put_away(one)

    assert office.store.load(job_id).readings == laptop.store.load(job_id).readings
    assert waiting_in(folder) == []


def test_without_a_folder_or_with_one_that_is_gone_nothing_is_lost(
    seats: tuple[Seat, Seat], shared: Path
) -> None:
    laptop, _ = seats
    job_id = making.complete_job(laptop.desk)
    shared.rmdir()
    with pytest.raises(Refusal, match="connect the share or the stick"):
        laptop.desk.send_to_folder(job_id)
    laptop.desk.settings.change(exchange_folder_text="")
    with pytest.raises(Refusal, match="No exchange folder is named"):
        laptop.desk.send_to_folder(job_id)
    assert folder_of(laptop.desk.settings) is None
