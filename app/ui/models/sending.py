"""What was issued and where it stands with the archive, as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from app.ui.models.lines import LinesModel
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk.archive.sending import ArchiveLine


class SendingModel(LinesModel["ArchiveLine"]):
    """A row per issued revision and per file: number, revision, state, and what the archive said."""

    columns: ClassVar = ("number", "revision", "state", "when", "said")
    heads: ClassVar = "sending.head"

    def words(self, one: ArchiveLine, column: str) -> str:
        """What an issued revision says in a column."""
        if column == "state":
            return text(f"sending.{one.state}")
        told = {"number": one.number_text, "when": retold(one.when_text), "said": retold(one.state_text)}
        return told.get(column, str(one.revision) if one.revision else text("exchange.kind.job_file"))
