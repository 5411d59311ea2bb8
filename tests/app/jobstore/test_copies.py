from __future__ import annotations

import itertools
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.jobstore import Store, StoreProblem, copies
from app.jobstore.copies import Copy, copies_in, make_copy, open_copy, restore, superfluous, thin
from app.record.act import Act
from ctcore.job import Job, Reading

MakeAct = Callable[..., Act]
MakeReading = Callable[..., Reading]

AT = datetime(2031, 5, 4, 8, 42, 7, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "elsewhere"


@pytest.fixture
def signed(filled: Store, act: MakeAct, reading: MakeReading) -> Store:
    filled.append("j1", act(), readings=[reading()])
    filled.add_attachment(
        "j1",
        b"\x89PNG",
        name_text="plate.png",
        media_type="image/png",
        core_id="",
        procedure_id="",
        act=act(),
    )
    filled.freeze("j1", b"{}", act(), revision=1, state="approved")
    return filled


def test_a_copy_holds_all_that_the_store_holds_while_that_is_open(
    signed: Store, path: Path, folder: Path
) -> None:
    made = make_copy(path, folder, at=AT)
    assert made == Copy(path=folder / "000001_2031-05-04T084207Z.sqlite", number=1, made_at=AT)
    with closing(open_copy(made.path)) as copy:
        assert (copy.load("j1"), copy.heads(), copy.faults()) == (signed.load("j1"), signed.heads(), [])
        assert copy.attachment_bytes(copy.attachments("j1")[0]) == b"\x89PNG"
        assert copy.read_only
    assert signed.append("j1", Act("remark", "p1", "A", "2031-05-04T08:43:00Z", 0, "Etc/UTC")).event.n == 5


def test_copies_are_numbered_and_nothing_else_is_left(signed: Store, path: Path, folder: Path) -> None:
    made = [make_copy(path, folder, at=AT - timedelta(days=day)) for day in range(3)]
    assert copies_in(folder) == made
    assert [one.number for one in made] == [1, 2, 3]
    assert sorted(entry.name for entry in folder.iterdir()) == [
        *(one.path.name for one in made),
        "files.attachments",
    ]


def test_a_copy_that_does_not_pass_never_counts(signed: Store, path: Path, folder: Path) -> None:
    with pytest.raises(StoreProblem, match=r"^Everything saved is in the store\. No copy .*: rot\. Earlier"):
        make_copy(path, folder, at=AT, check=lambda _copy: ["rot."])
    assert copies_in(folder) == []
    assert not list(folder.glob("*.sqlite*"))


def test_a_copy_of_a_spoiled_store_never_counts(signed: Store, path: Path, folder: Path) -> None:
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("UPDATE job SET number_text = '7'")
        raw.commit()
    with pytest.raises(StoreProblem, match="in the list of jobs is not what was saved"):
        make_copy(path, folder, at=AT)
    assert copies_in(folder) == []


def test_a_copy_whose_trail_ends_elsewhere_never_counts(
    signed: Store, path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch, job: Job, act: MakeAct
) -> None:
    other = path.with_name("other")
    with closing(Store.open(other, device_id="d2")) as store:
        store.create(job, act())
    vacuum = copies._vacuum
    monkeypatch.setattr(copies, "_vacuum", lambda _store, partial: vacuum(other, partial))
    with pytest.raises(StoreProblem, match="trail does not end where the trail of the store does"):
        make_copy(path, folder, at=AT)


def test_what_another_program_writes_meanwhile_is_not_counted_in_place_of_what_was_read(
    signed: Store, path: Path, folder: Path
) -> None:
    def write_over(copy: Store) -> list[str]:
        copy.path.unlink()
        (folder / "000001_2031-05-04T084207Z.sqlite.unchecked").write_bytes(b"half a copy")
        return []

    with pytest.raises(StoreProblem, match="No copy was made"):
        make_copy(path, folder, at=AT, check=write_over)
    assert copies_in(folder) == []


def test_an_attached_file_that_rotted_among_the_copies_is_put_there_again(
    signed: Store, path: Path, folder: Path
) -> None:
    make_copy(path, folder, at=AT)
    (kept,) = signed.attachments("j1")
    copies.attachments.path_of(folder / "files", kept.digest).write_bytes(b"rotten")
    made = make_copy(path, folder, at=AT)
    with closing(open_copy(made.path)) as copy:
        assert copy.attachment_bytes(kept) == b"\x89PNG"


def test_a_file_that_rotted_in_both_places_lets_no_copy_count(
    signed: Store, path: Path, folder: Path
) -> None:
    make_copy(path, folder, at=AT)
    (kept,) = signed.attachments("j1")
    for place in (folder / "files", path):
        copies.attachments.path_of(place, kept.digest).write_bytes(b"rotten")
    with pytest.raises(StoreProblem, match=r"No copy was made .*plate\.png is no longer what was attached"):
        make_copy(path, folder, at=AT)
    assert len(copies_in(folder)) == 1


def test_what_a_broken_off_copy_left_is_taken_away(signed: Store, path: Path, folder: Path) -> None:
    folder.mkdir()
    (folder / "000001_2031-05-04T084207Z.sqlite.unchecked").write_bytes(b"half")
    (folder / "000001_2031-05-04T084207Z.sqlite.unchecked-journal").write_bytes(b"half")
    assert make_copy(path, folder, at=AT).number == 1
    assert not list(folder.glob("*.unchecked*"))


def test_a_folder_that_cannot_be_written_is_named(
    signed: Store, path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("os.fsync", refuse)
    with pytest.raises(StoreProblem, match=r"elsewhere, because it could not be written \(No space left\)"):
        make_copy(path, folder, at=AT)
    assert copies_in(folder) == []


def test_a_disk_without_room_is_not_filled_up(
    signed: Store, path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shutil.disk_usage", lambda _path: Free(7_000_000))
    with pytest.raises(StoreProblem, match="its disk has only 7 MB free"):
        make_copy(path, folder, at=AT)


def test_a_copy_is_brought_back_to_a_file_of_its_own(signed: Store, path: Path, folder: Path) -> None:
    made = make_copy(path, folder, at=AT)
    target = path.with_name("back.sqlite")
    restore(made.path, target)
    with closing(Store.open(target)) as back:
        assert (back.load("j1"), back.heads(), back.faults()) == (signed.load("j1"), signed.heads(), [])
        assert not back.read_only


def test_nothing_is_written_over(signed: Store, path: Path, folder: Path) -> None:
    made = make_copy(path, folder, at=AT)
    before = path.read_bytes()
    with pytest.raises(StoreProblem, match=r"jobs\.coreleaf is there already"):
        restore(made.path, path)
    assert path.read_bytes() == before


def test_a_copy_that_rotted_is_not_brought_back(signed: Store, path: Path, folder: Path) -> None:
    made = make_copy(path, folder, at=AT)
    target = path.with_name("back.sqlite")
    with pytest.raises(StoreProblem, match=r"not brought back, because it is not what it was: rot\. Take an"):
        restore(made.path, target, check=lambda _store: ["rot."])
    made.path.write_bytes(made.path.read_bytes()[:5000])
    with pytest.raises(StoreProblem, match="can't be read"):
        restore(made.path, target)
    assert not target.exists()


def test_a_disk_that_is_full_leaves_no_half_of_what_is_brought_back(
    signed: Store, path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = make_copy(path, folder, at=AT)
    monkeypatch.setattr("os.fsync", refuse)
    with pytest.raises(StoreProblem, match=r"Your store and its copies are as they were.*No space"):
        restore(made.path, path.with_name("back.sqlite"))
    assert not list(path.parent.glob("back.sqlite*.unchecked*"))


def test_heads_and_device_are_read_without_opening(signed: Store, path: Path, tmp_path: Path) -> None:
    (head,) = signed.heads()
    assert copies.heads_of(path) == {"d1": (head.n, head.head)}
    assert copies.device_of(path) == "d1"
    spoiled = tmp_path / "spoiled"
    spoiled.write_bytes(b"no store at all" * 99)
    assert copies.device_of(spoiled) == ""
    with pytest.raises(StoreProblem, match="can't be read"):
        copies.heads_of(spoiled)


def test_thinning_takes_files_and_sets_aside_what_cannot_be_read(
    signed: Store, path: Path, folder: Path
) -> None:
    made = [make_copy(path, folder, at=AT + timedelta(minutes=n)) for n in range(12)]
    made[11].path.write_bytes(b"rotten" * 1000)
    assert thin(folder) == [made[0].path]
    assert [one.number for one in copies_in(folder)] == [*range(2, 12)]
    assert (folder / (made[11].path.name + ".unreadable")).exists()
    assert thin(folder) == []


def days_of_copies(per_day: list[int], gains: set[int], losses: set[int]) -> dict[Copy, frozenset[str]]:
    """Copies day by day: on days of `gains` a record comes in, on those of `losses` an empty store."""
    found: dict[Copy, frozenset[str]] = {}
    numbers = itertools.count(1)
    held: frozenset[str] = frozenset()
    for day, count in enumerate(per_day):
        held = frozenset() if day in losses else held
        held |= {f"record {day}"} if day in gains else frozenset()
        for turn in range(count):
            number = next(numbers)
            at = AT + timedelta(days=day, hours=turn)
            found[Copy(path=Path(f"{number}"), number=number, made_at=at)] = held
    return found


THREE_YEARS = 3 * 365


@settings(max_examples=8, deadline=None)
@given(
    per_day=st.lists(st.integers(0, 4), min_size=THREE_YEARS, max_size=THREE_YEARS),
    gains=st.sets(st.integers(0, THREE_YEARS - 1), max_size=60),
    losses=st.sets(st.integers(0, THREE_YEARS - 1), max_size=12),
)
def test_over_three_years_no_thinning_takes_the_only_copy_of_a_record(
    per_day: list[int], gains: set[int], losses: set[int]
) -> None:
    everything = days_of_copies(per_day, gains, losses)
    before_and_after, kept = thinned_day_by_day(everything)
    assert all(before == after for before, after in before_and_after)
    assert set(list(everything)[-10:]) <= set(kept)


def thinned_day_by_day(
    everything: dict[Copy, frozenset[str]],
) -> tuple[list[tuple[frozenset[str], frozenset[str]]], list[Copy]]:
    """The records held before and after the thinning of each day, and the copies that stay in the end."""
    steps, kept = [], list[Copy]()
    for _, day in itertools.groupby(everything, key=lambda one: one.made_at.date()):
        kept += day
        gone = set(superfluous(kept, everything))
        before = frozenset[str]().union(*(everything[one] for one in kept))
        kept = [one for one in kept if one not in gone]
        steps.append((before, frozenset[str]().union(*(everything[one] for one in kept))))
    return steps, kept


def test_of_three_years_of_days_with_one_store_few_copies_stay() -> None:
    everything = days_of_copies([3] * THREE_YEARS, set(range(0, THREE_YEARS, 9)), set())
    gone = set(superfluous(list(everything), everything))
    kept = [one for one in everything if one not in gone]
    days = {one.made_at.date() for one in kept}
    newest = max(days)
    assert {newest - timedelta(days=back) for back in range(14)} <= days
    assert len({f"{day:%G-%V}" for day in days}) >= 8
    assert len({f"{day:%Y-%m}" for day in days}) == 24
    assert len(kept) < 10 + 14 + 8 + 24


def test_the_only_copy_of_a_record_stays_whatever_its_age() -> None:
    everything = days_of_copies([1] * 1000, {0}, {1})
    (first, *_) = everything
    assert first not in superfluous(list(everything), everything)


def test_a_clock_that_jumped_ahead_does_not_cost_the_copies_made_after_it_was_put_right() -> None:
    ahead = [Copy(path=Path(f"{n}"), number=n, made_at=AT.replace(year=2100)) for n in range(1, 41)]
    right = [Copy(path=Path(f"{n}"), number=n, made_at=AT + timedelta(hours=n)) for n in range(41, 51)]
    records = dict.fromkeys([*ahead, *right], frozenset[str]())
    assert not set(right) & set(superfluous([*ahead, *right], records))


class Free:
    def __init__(self, free: int) -> None:
        self.free = free


def refuse(*_: object) -> None:
    raise OSError(28, "No space left")
