"""Beside the line in hand: its curves, and the test before of the same core out of the archive."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from app.ui.review.detail import Detail
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import View
    from app.desk.archive.before import EarlierTest, Key
    from app.jobstore.archive import Archive
    from app.ui.review.to_decide import DecideLine
    from app.ui.window import MainWindow
    from app.ui.worksheet.curves import CurveStore
    from ctcore.takes import Take

_Asked = tuple[str, int, str, int]


class Earlier:
    """Draws what is known at once; what the archive says of the test before comes when it answers."""

    def __init__(self, window: MainWindow, detail: Detail) -> None:
        self._window, self._detail = window, detail
        self._known: dict[_Asked, EarlierTest | None] = {}
        self._wanted: _Asked | None = None
        self._curves: CurveStore | None = None

    def show(self, view: View, line: DecideLine) -> None:
        """Show what stands beside a line; a core of the job is in it."""
        from app.ui.review.curves import take_of

        take = take_of(view, line)
        key = (view.job.job_id, len(view.job.readings), line.core_id, take.take if take else 0)
        self._wanted = key
        if key in self._known:
            self._tell(view, take, self._known[key])
            return
        self._draw(view, take, None)
        if not self._window.archive.place_text:
            return
        if not _serial_text(view, line.core_id):
            self._detail.put_earlier(text("review.before.no_serial"), {})
            return
        self._detail.put_earlier(text("review.before.looking"), {})
        core_id = line.core_id

        def ask(archive: Archive) -> EarlierTest | None:
            from app.desk.archive.before import earlier_test

            return earlier_test(archive, view.job, view.takes, core_id=core_id, take=take)

        def done(found: EarlierTest | None) -> None:
            self._known[key] = found
            if key == self._wanted:
                self._tell(view, take, found)

        def failed(sentence: str) -> None:
            if key == self._wanted:
                self._detail.put_earlier(text("review.before.failed", reason=sentence), {})

        self._window.archive.ask("review", ask, done=done, failed=failed)

    def forget(self) -> None:
        """Another line is in hand, beside which nothing stands."""
        self._wanted = None

    def _tell(self, view: View, take: Take | None, found: EarlierTest | None) -> None:
        from app.ui.review.curves import earlier_words

        figures: Mapping[Key, str] = found.found if found is not None else {}
        self._detail.put_earlier(earlier_words(found), figures)
        self._draw(view, take, found)

    def _draw(self, view: View, take: Take | None, found: EarlierTest | None) -> None:
        if take is None:
            return
        from app.ui.review.curves import content_of
        from app.ui.worksheet.curves import CurveStore

        self._curves = self._curves or CurveStore()
        self._detail.put_curves(content_of(view, take, found, self._curves))


def _serial_text(view: View, core_id: str) -> str:
    cts = (ct for position in view.job.positions for ct in position.cts)
    return next((ct.serial_text.strip() for ct in cts for core in ct.cores if core.core_id == core_id), "")
