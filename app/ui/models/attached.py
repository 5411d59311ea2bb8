"""The files attached to a job: name, kind, where each belongs, and why it was struck."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.ui.models.lines import LinesModel
from app.ui.texts import text
from app.words import all_procedures
from ctcore.evidence import Attached
from ctcore.job import Job, places


class AttachedModel(LinesModel[Attached]):
    """A line per file; one that was struck stays, and says so."""

    columns = ("name", "kind", "where", "state")
    heads = "attached.head"

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._where: dict[str, str] = {}

    def put(self, job: Job) -> None:
        """Show the files of a job."""
        self._where = {
            place.core.core_id: f"{place.position.name_text} {place.ct.phase_text}, core {place.core.number}"
            for place in places(job)
        }
        self.show_lines(job.attached)

    def words(self, one: Attached, column: str) -> str:
        """What a file says in a column."""
        return {
            "name": one.name_text,
            "kind": text("attached.document" if one.media_type == "application/pdf" else "attached.picture"),
            "where": self.where(one),
            "state": text("attached.struck", reason=one.struck_text) if one.struck_text else "",
        }[column]

    def where(self, one: Attached) -> str:
        """The place that a file is pinned to, in words."""
        test = next((row.short_name for row in all_procedures() if row.procedure_id == one.procedure_id), "")
        words = self._where.get(one.core_id, text("attach.job"))
        return f"{words}, {test.lower()}" if test else words
