"""What the program notices by itself, looked for when the keys rest, so that no key waits for it."""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, QTimer

from app.ui.worksheet import typing_now
from ctcore.notices import Notice, notices_of_core

if TYPE_CHECKING:
    from app.ui.worksheet.page import WorksheetPage
    from ctcore.job import Job

REST_MS: Final = 120
# From so many readings on the collector is felt: about 10 ms for a thousand.
LARGE_COUNT: Final = 2000


class Noticing(QObject):
    """Looks at the core on the page again after every change, and tells the panel of findings."""

    def __init__(self, page: WorksheetPage) -> None:
        super().__init__(page)
        self._page = page
        self._looked_at: object = None
        self._core_id = ""
        self._of_core: tuple[Notice, ...] = ()
        self._set_aside_id = ""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(REST_MS)
        self._timer.timeout.connect(self._look_at_rest)

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What was noticed of the step on the page, as far as it was looked at."""
        sheet = self._page.sheet
        if sheet is None:
            return ()
        return tuple(
            notice
            for notice in self._of_core
            if notice.procedure == sheet.procedure.procedure_id
            and sheet.core.core_id in notice.cores
            and notice.take in (0, sheet.take_number)
        )

    @property
    def doubts(self) -> frozenset[tuple[str, str]]:
        """Row and quantity of the readings that an offer would key anew."""
        return frozenset(
            (entry.row, entry.quantity_id)
            for notice in self.notices
            if notice.offer is not None
            for entry in notice.offer.entries
            if self._page.sheet is not None and entry.core_id == self._page.sheet.core.core_id
        )

    def look_soon(self) -> None:
        """Look when the keys rest."""
        self._timer.start()

    def _look_at_rest(self) -> None:
        """Look, unless a reading is just on its way: then it changes anyhow what would be seen."""
        if self._page.writer.busy:
            self._timer.start()
        else:
            self.look()

    def look(self) -> None:
        """Look now, and show what was found."""
        self._timer.stop()
        sheet = self._page.sheet
        if sheet is None:
            return
        view = sheet.view
        if self._looked_at is not view or self._core_id != sheet.core.core_id:
            self._looked_at, self._core_id = view, sheet.core.core_id
            self._of_core = tuple(notices_of_core(view.job, sheet.place, view.takes))
        self._page.show_findings()
        typing_now.work_out_advice(sheet, self._page.curves)
        self._page.cursor_in_hand.tell_hint()
        self._set_aside(view.job)

    def _set_aside(self, job: Job) -> None:
        """Spare the collector a large job that was opened: it holds no garbage, and going through it while
        one types takes longer than a key may wait. What was set aside before is gone through now."""
        if job.job_id == self._set_aside_id or len(job.readings) < LARGE_COUNT:
            return
        self._set_aside_id = job.job_id
        gc.unfreeze()
        gc.collect()
        gc.freeze()

    def look_if_due(self) -> None:
        """Look now where something changed since the last look."""
        if self._timer.isActive():
            self.look()
