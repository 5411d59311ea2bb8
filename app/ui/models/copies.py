"""The copies that count, as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from app.ui.models.lines import LinesModel
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk.copies import CopyLine


class CopiesModel(LinesModel["CopyLine"]):
    """A row per copy: when, where, and whether that is another device."""

    columns: ClassVar = ("when", "device", "where")
    heads: ClassVar = "copies.head"

    def words(self, one: CopyLine, column: str) -> str:
        """What a copy says in a column."""
        if column == "device":
            return text("copies.away" if one.away else "copies.here")
        return retold(one.when_text) if column == "when" else one.where_text
