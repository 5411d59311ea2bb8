"""The deviations of a job: where, what was found, what is done about it, by whom, until when."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.ui.models.lines import LinesModel
from app.ui.texts import text
from app.words import told
from ctcore.job import DECISION_WORDS, Deviation, Job, places


class DeviationsModel(LinesModel[Deviation]):
    """A line per deviation."""

    columns = ("where", "found", "done", "owner", "due")
    heads = "deviation"

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._where: dict[str, str] = {}

    def put(self, job: Job) -> None:
        """Show the deviations of a job."""
        self._where = {
            place.core.core_id: f"{place.position.name_text} {place.ct.phase_text} {place.core.number}"
            for place in places(job)
        }
        self.show_lines(job.deviations)

    def words(self, one: Deviation, column: str) -> str:
        """What a deviation says in a column."""
        if column == "where":
            return self._where.get(one.core_id, "")
        if column == "done":
            decided = told(f"decision.{one.decision}", DECISION_WORDS[one.decision]) if one.decision else ""
            if one.valid_text:
                decided = f"{decided}, {text('review.holds', valid=one.valid_text)}"
            return one.disposition_text or decided or one.decision_text or text("deviation.open")
        return {"found": one.found_text, "owner": one.owner_text, "due": one.due_on or ""}[column]
