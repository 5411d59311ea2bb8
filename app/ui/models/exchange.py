"""What waits in the exchange folder, as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from app.ui.models.lines import LinesModel
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.exchange.folder import FolderFile


class ExchangeModel(LinesModel["FolderFile"]):
    """A row per file: its name, what it is, and where it stands."""

    columns: ClassVar = ("name", "kind", "said")
    heads: ClassVar = "exchange.head"

    def words(self, one: FolderFile, column: str) -> str:
        """What a file says in a column."""
        if column == "name":
            return one.path.name
        if column == "kind":
            return text(f"exchange.kind.{one.kind.replace(' ', '_')}")
        return retold(one.said_text) or text(f"exchange.{one.state}")
