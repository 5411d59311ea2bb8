"""A folder, a store or a clock that is not as it should be: one sentence in the window, nothing lost."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy.exc import OperationalError

from app.desk.seen import Memory
from app.jobstore import Store
from app.record.copying import digest_of
from app.settings import Settings, profile_folder
from tests.app.ui.desk_of_window import Hand, OpenHand, make_job

# 200 characters of one path, with what keyboards and file systems have most trouble with.
LONG = "Umspannwerk 14 \N{HIGH VOLTAGE SIGN}\N{CLOSED LOCK WITH KEY} %20 'a' & b; " + "x" * 150


@pytest.fixture
def opened(qtbot, tmp_path):
    """A window that was asked to open what lies in a folder, until it says something."""
    hands = []

    def open_window(folder: Path = tmp_path) -> Hand:
        hand = Hand(qtbot, folder)
        hands.append(hand)
        hand.window.session.open_store(folder)
        hand.wait(lambda: hand.window.bar.sentence or hand.window.session.desk is not None)
        hand.rest()
        return hand

    yield open_window
    for hand in hands:
        hand.close()


def make_newer(store: Path) -> None:
    with closing(sqlite3.connect(store)) as raw, raw:
        raw.execute("UPDATE alembic_version SET version_num = '0099'")


def test_a_store_of_a_newer_program_is_refused_by_name_and_left_to_the_byte(opened, tmp_path):
    make_job(tmp_path)
    make_newer(tmp_path / "store.sqlite")
    before = digest_of(tmp_path / "store.sqlite")
    hand = opened()

    assert hand.window.bar.sentence == (
        "The file store.sqlite was left exactly as it was. It was made by a newer Coreleaf "
        "(form 0099; this one knows up to 0001): open it with that program."
    )
    assert hand.window.session.desk is None
    assert digest_of(tmp_path / "store.sqlite") == before


def test_an_older_program_beside_a_newer_one_that_writes_says_so_and_the_newer_goes_on(opened, tmp_path):
    make_job(tmp_path)
    newer = Store.open(tmp_path / "store.sqlite")
    make_newer(newer.path)
    hand = opened()
    faults = newer.faults()
    newer.close()

    assert "It was made by a newer Coreleaf (form 0099" in hand.window.bar.sentence
    assert faults == []
    assert not (tmp_path / "store.sqlite.lock").exists()


def test_two_windows_on_one_folder_say_which_may_write(qtbot, opened, tmp_path):
    first = OpenHand(qtbot, tmp_path)
    second = opened()

    assert "already open in another window" in second.window.bar.sentence
    assert second.window.session.desk.store.read_only
    assert not first.window.session.desk.store.read_only
    first.close()


def test_preferences_of_a_newer_program_are_kept_by_the_older(opened, tmp_path):
    Settings.load(tmp_path).change(person_name_text="J. Velde", organisation_text="Tarnbeck Test Services")
    path = tmp_path / "settings.json"
    path.write_text(path.read_text(encoding="utf-8").replace("{", '{\n "ink_of_later": ["green"],', 1))
    hand = opened()
    hand.window.settings.change(paper="Letter")

    assert '"ink_of_later": [' in path.read_text(encoding="utf-8")


def test_a_synchronised_folder_is_named_and_work_goes_on(opened, tmp_path):
    folder = tmp_path / "Team Sync"
    make_job(folder)
    hand = opened(folder)

    assert hand.window.bar.sentence.startswith(
        f"Everything saved is safe. The folder {folder} seems to be kept"
    )
    assert not hand.window.session.desk.store.read_only


def test_a_long_path_with_spaces_and_emoji_is_a_home_like_any_other(qtbot, tmp_path):
    hand = OpenHand(qtbot, tmp_path / LONG)
    sheet = hand.folder / "sheet of \N{HIGH VOLTAGE SIGN}.pdf"
    hand.window.session.desk.sheet(hand.job.job_id, sheet)
    hand.close()
    again = Store.open(hand.folder / "store.sqlite", read_only=True)
    found = (len(again.jobs()), again.faults())
    again.close()

    assert found == (1, [])
    assert sheet.read_bytes().startswith(b"%PDF-")


def test_a_folder_that_takes_no_store_is_named(opened, tmp_path):
    (tmp_path / "store.sqlite").mkdir()
    hand = opened()

    assert "store.sqlite" in hand.window.bar.sentence
    assert hand.window.session.desk is None


@pytest.mark.parametrize(
    ("later", "said"),
    [(timedelta(days=400), True), (timedelta(seconds=60), False), (timedelta(days=-3), False)],
)
def test_a_clock_that_stands_before_the_last_closing_is_said_at_the_start(opened, tmp_path, later, said):
    make_job(tmp_path)
    store = Store.open(tmp_path / "store.sqlite")
    memory = Memory(profile_folder(tmp_path))
    memory.keep_heads(store.heads(), datetime.now(UTC) + later)
    store.close()
    hand = opened()

    assert ("set clock and time zone right before you key or sign" in hand.window.bar.sentence) is said
    assert not hand.window.session.desk.store.read_only


def test_a_home_on_a_full_disk_makes_no_store_and_says_so_in_plain_words(opened, tmp_path, monkeypatch):
    monkeypatch.setattr("app.jobstore.migrate.run_steps", _full)
    hand = opened()

    assert hand.window.bar.sentence == (
        "Everything saved in store.sqlite is as it was: bringing it to the form of this program failed "
        "(database or disk is full) and was taken back. Free some disk space and start again."
    )
    assert hand.window.session.desk is None


def test_a_home_that_may_only_be_read_is_looked_at(opened, tmp_path, monkeypatch):
    make_job(tmp_path)
    settings = tmp_path / "settings.json"
    settings.write_text("{}", encoding="utf-8")
    (tmp_path / "store.sqlite").chmod(0o444)
    monkeypatch.setattr("app.jobstore.opening.os.access", lambda _path, _mode: False)
    monkeypatch.setattr("app.ui.shell.session.profile_folder", lambda _folder: tmp_path / "none")
    hand = opened()

    assert hand.window.bar.sentence.endswith(
        "You can look here, not write. The file store.sqlite may not be written to."
    )
    assert hand.window.session.desk.store.read_only


def _full(_connection):
    raw = sqlite3.OperationalError("database or disk is full")
    raise OperationalError("INSERT", {}, raw)
