"""A user in front of a window whose preferences name an archive with a few records."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from app.jobstore.archive import Archive
from tests.app.desk.archive.test_trending import with_values
from tests.app.jobstore.archive.conftest import file, first
from tests.app.jobstore.archive.test_figures import with_deviation
from tests.app.jobstore.archive.test_history import on_day
from tests.app.jobstore.archive.test_searching import changed, put
from tests.app.record.signed_scene import office, revision_of
from tests.app.ui.desk_of_window import OpenHand

SHIFTED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
ALT = Qt.KeyboardModifier.AltModifier


def fill(place: str) -> None:
    """Two signed records, and two later tests of the first one's transformer that were never signed."""
    archive = Archive.open(place)
    file(archive, first(), revision_of("1043"))
    put(archive, with_values(on_day(changed("A-1"), "2036-05-04"), factor=1.001), 11)
    later = with_values(on_day(changed("A-2"), "2041-05-04"), factor=1.05)
    put(archive, with_deviation(later, "2041-09-01", "P. Dry"), 12)
    archive.close()


def believe(folder: Path) -> None:
    """The office of the records is known on this computer."""
    from app.record.certificates import pem_of

    (folder / "trust").mkdir(parents=True, exist_ok=True)
    (folder / "trust" / "office.pem").write_bytes(pem_of(office().certificate.der))


@pytest.fixture(params=["sqlite"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """On SQLite; a test that is marked for it also on PostgreSQL."""
    if request.param == "sqlite":
        made = str(tmp_path / "archive.sqlite")
    else:
        made = request.getfixturevalue("server").database()
    fill(made)
    return made


@pytest.fixture
def hand(qtbot, tmp_path, place):
    made = OpenHand(qtbot, tmp_path)
    believe(tmp_path)
    made.window.settings.change(archive_place_text=place)
    yield made
    made.close()


def opened_archive(hand):
    """The page of the archive."""
    hand.press(Qt.Key.Key_J, SHIFTED)
    return hand.window.page("archive")


def found(hand, **asked):
    """The page with what was found for a question typed into its fields."""
    page = opened_archive(hand)
    for name, words in asked.items():
        page.form.by_name[name].line.setText(words)
    hand.press(Qt.Key.Key_F, ALT)
    hand.wait(lambda: page.count.text not in ("", "searching …"))
    return page
