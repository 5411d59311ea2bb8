"""Where each kind of data lies, as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from app.ui.models.lines import LinesModel
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.place import PlaceLine


class DataPlaceModel(LinesModel["PlaceLine"]):
    """A row per kind of data: what it is, and its path."""

    columns: ClassVar = ("what", "path")
    heads: ClassVar = "data_place.head"

    def words(self, one: PlaceLine, column: str) -> str:
        """What a kind of data says in a column."""
        if column == "what":
            return text(f"data_place.what.{one.what}")
        return str(one.path) if one.there else text("data_place.none_yet", path=one.path)
