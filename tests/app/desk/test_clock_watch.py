from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from app.desk import Address, Desk
from app.desk.clock_watch import ClockWatch, behind_words, steady_s
from app.desk.event_order import in_order
from app.jobstore import Store
from app.settings import Settings
from tests.app.desk.making import PASSPHRASE, Seat, complete_job

START = datetime(2031, 5, 4, 8, 0, tzinfo=UTC)


@dataclass
class TwoClocks:
    """The clock on the wall, which can be put, and the one that cannot; both go on by a second per look."""

    wall: datetime = START
    steady: float = 1000.0

    def now(self) -> datetime:
        self.go(seconds=1)
        return self.wall

    def steady_now(self) -> float:
        return self.steady

    def go(self, **how_long: float) -> None:
        self.wall += timedelta(**how_long)
        self.steady += timedelta(**how_long).total_seconds()


@pytest.fixture
def clocks() -> TwoClocks:
    return TwoClocks()


@pytest.fixture
def watched(tmp_path: Path, clocks: TwoClocks) -> Iterator[Desk]:
    settings = Settings.load(tmp_path / "settings")
    settings.change(person_name_text="T. Adder", person_id="p1")
    store = Store.open(tmp_path / "jobs.coreleaf")
    yield Desk(store, settings, clock=clocks.now, steady=clocks.steady_now)
    store.close()


@pytest.fixture
def job_id(watched: Desk) -> str:
    return complete_job(watched)


def key(desk: Desk, job_id: str, text: str) -> None:
    (position,) = desk.view(job_id).job.positions
    core = position.cts[0].cores[0]
    row = core.taps[0].tap_id
    desk.key(job_id, Address(core.core_id, "resistance", 1, row, "r_winding_ohm"), text)


def clock_acts(desk: Desk, job_id: str) -> list[str]:
    return [one.act.to["gone_text"] for one in desk.store.events(job_id) if one.act.kind == "clock"]


OSLO = ZoneInfo("Europe/Oslo")
PUT = {
    "an hour back": (START - timedelta(hours=1), "\N{MINUS SIGN}1 h 00 min"),
    "an hour ahead": (START + timedelta(hours=1), "+1 h 00 min"),
    "a day back": (START - timedelta(days=1), "\N{MINUS SIGN}1 d 0 h 00 min"),
    "a day ahead": (START + timedelta(days=1), "+1 d 0 h 00 min"),
    "121 s back": (START - timedelta(seconds=122), "\N{MINUS SIGN}2 min 0"),
    "121 s ahead": (START + timedelta(seconds=122), "+2 min 0"),
    "to 1970": (datetime(1970, 1, 1, tzinfo=UTC), "\N{MINUS SIGN}"),
    "to the end of 32 bits": (datetime(2038, 1, 19, 3, 14, 8, tzinfo=UTC), "+"),
    "to 2100": (datetime(2100, 3, 1, tzinfo=UTC), "+"),
}


@pytest.mark.parametrize("name", PUT)
def test_a_clock_that_is_put_is_recorded_and_stands_on_the_sheet(
    watched: Desk, clocks: TwoClocks, job_id: str, name: str
) -> None:
    wall, said = PUT[name]
    watched.view(job_id)
    clocks.wall += wall - START
    key(watched, job_id, "2.11")
    (text,) = clock_acts(watched, job_id)
    assert text.startswith(said)
    (remark,) = watched.view(job_id).job.remarks
    assert remark.text.startswith(f"Computer clock changed by {text} at ")
    assert remark.core_id == ""
    assert watched.store.faults() == []


@pytest.mark.parametrize("name", PUT)
def test_a_clock_that_is_put_never_changes_the_order_of_entries(
    watched: Desk, clocks: TwoClocks, job_id: str, name: str
) -> None:
    clocks.wall = PUT[name][0]
    key(watched, job_id, "2.11")
    clocks.wall = START + timedelta(minutes=5)
    key(watched, job_id, "2.12")
    events = watched.store.events(job_id)
    assert [one.n for one in in_order(events)] == sorted(one.n for one in events)
    trail = watched.trail(job_id)
    assert [line.n for line in trail] == sorted(line.n for line in trail)
    assert [one.as_typed_text for one in watched.store.load(job_id).readings[-2:]] == ["2.11", "2.12"]


SMALL = {
    "a second back": timedelta(seconds=-1),
    "a leap second": timedelta(seconds=1),
    "two minutes": timedelta(seconds=118),
}


@pytest.mark.parametrize("name", SMALL)
def test_what_a_network_corrects_is_not_recorded(
    watched: Desk, clocks: TwoClocks, job_id: str, name: str
) -> None:
    watched.view(job_id)
    clocks.wall += SMALL[name]
    key(watched, job_id, "2.11")
    assert clock_acts(watched, job_id) == []


def test_sleep_is_no_jump(watched: Desk, clocks: TwoClocks, job_id: str) -> None:
    clocks.go(hours=9)
    key(watched, job_id, "2.11")
    assert clock_acts(watched, job_id) == []


@pytest.mark.parametrize("zone", [OSLO, ZoneInfo("America/St_Johns"), timezone(timedelta(hours=13))])
def test_another_zone_in_the_middle_of_a_job_is_no_jump_and_is_kept_with_the_reading(
    watched: Desk, clocks: TwoClocks, job_id: str, zone: ZoneInfo
) -> None:
    watched.view(job_id)
    clocks.wall = clocks.wall.astimezone(zone)
    key(watched, job_id, "2.11")
    assert clock_acts(watched, job_id) == []
    last = watched.view(job_id).job.readings[-1]
    offset = clocks.wall.utcoffset()
    assert offset is not None
    assert last.utc_offset_minutes == offset.total_seconds() // 60


# Summer time of 2031, last Sundays of March and October at 01:00 UTC: Directive 2000/84/EC.
@pytest.mark.parametrize(
    ("before", "offsets"),
    [
        (datetime(2031, 3, 30, 0, 59, tzinfo=UTC), [60, 120]),
        (datetime(2031, 10, 26, 0, 59, tzinfo=UTC), [120, 60]),
    ],
)
def test_summer_time_is_no_jump_and_keeps_the_order(
    watched: Desk, clocks: TwoClocks, job_id: str, before: datetime, offsets: list[int]
) -> None:
    clocks.go(seconds=(before - clocks.wall).total_seconds())
    watched._clock = lambda: clocks.now().astimezone(OSLO)
    key(watched, job_id, "2.11")
    clocks.go(minutes=2)
    key(watched, job_id, "2.12")
    assert clock_acts(watched, job_id) == []
    assert [one.utc_offset_minutes for one in watched.view(job_id).job.readings[-2:]] == offsets
    events = watched.store.events(job_id)
    assert [one.n for one in in_order(events)] == [one.n for one in events]


def test_a_frozen_revision_keeps_its_words_and_the_trail_tells_of_the_clock(
    watched: Desk, clocks: TwoClocks, job_id: str
) -> None:
    watched.freeze(job_id)
    frozen = watched.store.revisions(job_id)
    clocks.wall -= timedelta(hours=1)
    assert watched.view(job_id).job.remarks == ()
    assert clock_acts(watched, job_id) == ["\N{MINUS SIGN}1 h 00 min"]
    assert watched.store.revisions(job_id) == frozen
    assert watched.trail(job_id)[-1].what_text == "clock of the computer put"
    assert watched.store.faults() == []


def test_where_a_job_is_does_not_depend_on_the_clock(tester: Seat) -> None:
    made = complete_job(tester.desk)
    tester.desk.hand_in(made, PASSPHRASE, "M. Oskarrin")
    tester.desk._clock = lambda: datetime(1970, 1, 1, tzinfo=UTC)
    tester.desk.take_back(made, "the wrong plate")
    tester.desk.close_job(made)
    assert tester.desk.open_job(made).away_text == ""


def test_a_desk_that_may_only_read_records_nothing(
    watched: Desk, clocks: TwoClocks, job_id: str, tmp_path: Path
) -> None:
    second = Store.open(tmp_path / "jobs.coreleaf")
    reader = Desk(second, watched.settings, clock=clocks.now, steady=clocks.steady_now)
    reader.open_job(job_id)
    clocks.wall -= timedelta(hours=1)
    assert reader.view(job_id).job.remarks == ()
    second.close()


def test_without_a_steady_clock_nothing_is_seen() -> None:
    watch = ClockWatch(None)
    assert [watch.gone_s(lambda: START), watch.gone_s(lambda: START - timedelta(days=9))] == [0.0, 0.0]


def test_the_steady_clock_goes_on() -> None:
    assert steady_s() <= steady_s()


def test_events_of_two_devices_stand_by_the_clock_between_them(watched: Desk, job_id: str) -> None:
    events = watched.store.events(job_id)
    early = dataclasses.replace(
        events[0], device_id="d9", act=dataclasses.replace(events[0].act, at_utc="2031-05-04T07:00:00.000Z")
    )
    assert in_order([*events, early])[0] is early


def test_a_clock_behind_the_last_closing_is_told_in_the_time_of_the_place() -> None:
    now = datetime(2031, 5, 4, 6, 0, tzinfo=timezone(timedelta(hours=-3)))

    assert behind_words("2031-05-04T10:30:00Z", now) == (
        "Everything saved is safe and keeps its order. This computer's clock says 4 May 2031 06:00:00 "
        "\N{MINUS SIGN}03:00, and the store was closed at 4 May 2031 07:30:00 \N{MINUS SIGN}03:00: set clock "
        "and time zone right before you key or sign anything."
    )


@pytest.mark.parametrize("seen_utc", ["", "no time", "2031-05-04T09:00:00Z", "2031-05-04T09:02:00Z"])
def test_a_clock_that_went_on_says_nothing_in_any_zone(seen_utc: str) -> None:
    assert behind_words(seen_utc, datetime(2031, 5, 4, 6, 0, tzinfo=timezone(timedelta(hours=-3)))) == ""
