"""A record of the archive, opened, and its core over the years, as pictures."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.jobstore.archive import Archive
from app.record import revision
from tests.app.desk.archive.test_trending import with_values
from tests.app.jobstore.archive.conftest import file
from tests.app.jobstore.archive.test_history import on_day
from tests.app.record.signed_scene import Revision
from tests.app.ui.archive.conftest import believe

if TYPE_CHECKING:
    from tests.pictures.window import Stage

LATER = "1107"


class Tested(Revision):
    """The same core on another day, its winding a little off; signed as every revision is."""

    def __init__(self, number_text: str, day: str, factor: float) -> None:
        super().__init__(number_text, 1)
        self._day, self._factor = day, factor

    @cached_property
    def record(self) -> bytes:
        """The frozen record with its derived values, which the archive follows."""
        plain = revision.from_bytes(Revision.record.func(self))  # type: ignore[attr-defined]
        return revision.to_bytes(with_values(on_day(plain, self._day), factor=self._factor))


def _filled(stage: Stage) -> None:
    """Two tests of one core five years apart, in an archive that the preferences name."""
    settings = stage.window.settings
    place = Path(settings.folder) / "archive.sqlite"
    if not place.exists():
        archive = Archive.open(str(place))
        file(archive, Tested("0871", "2026-05-11", 1.0), Tested(LATER, "2031-05-04", 1.012))
        archive.close()
        believe(Path(settings.folder))
        settings.change(archive_place_text=str(place))


def _found(stage: Stage) -> Any:
    _filled(stage)
    stage.do("archive")
    page = stage.window.page("archive")
    page.clear()
    page.search()
    stage.wait(lambda: page.model.rowCount() > 1)
    return page


def _opened(stage: Stage) -> Any:
    page = _found(stage)
    line = next(
        row for row in range(page.model.rowCount()) if page.model.line(row).filed.number_text == LATER
    )
    page.table.setCurrentIndex(page.model.index(line, 0))
    page.open_record()
    filed = stage.window.page("filed")
    stage.wait(lambda: filed.opened is not None and filed.outcome.words)
    return filed


def _years(stage: Stage) -> Any:
    filed = _opened(stage)
    filed.over_years()
    years = stage.window.page("years")
    stage.wait(lambda: years.seen is not None)
    followed = [years.groups.line(row)[1].quantity_id for row in range(years.groups.rowCount())]
    row = followed.index("r_winding_75degc_ohm")
    years.group_table.setCurrentIndex(years.groups.index(row, 0))
    return years


def _bulk(stage: Stage) -> None:
    _found(stage).export()


SCENES: dict[str, Callable[[Stage], object]] = {
    "archive-found": _found,
    "archive-export": _bulk,
    "archive-save-search": lambda stage: _found(stage).save_search(),
    "filed": _opened,
    "filed-keep": lambda stage: _opened(stage)._keeping("keep_dialog"),
    "filed-hold": lambda stage: _opened(stage)._keeping("hold_dialog"),
    "years": _years,
    "years-curves": lambda stage: _years(stage).turn(),
}
