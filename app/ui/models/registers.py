"""The entries of the office's registers as tables, a kind at a time."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Any, ClassVar

from PySide6.QtCore import QObject

from app.ui.models.instruments import calibration_words
from app.ui.models.lines import LinesModel
from app.ui.texts import text
from ctcore.job import Instrument, Person

if TYPE_CHECKING:
    from app.desk.registers import Entry


class RegisterModel(LinesModel[Any]):
    """A row per entry: its name, what tells it from others, and whether something of it ends."""

    columns: ClassVar = ("name", "what", "until")
    heads: ClassVar = "register.head"

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.today: date = datetime.now().astimezone().date()
        self.sets: dict[str, str] = {}

    def words(self, one: Entry, column: str) -> str:
        """What an entry says in a column."""
        if column == "name":
            return one.name_text
        if isinstance(one, Instrument):
            return one.serial_text if column == "what" else calibration_words(one, self.today)
        if isinstance(one, Person):
            return one.employer_text if column == "what" else one.authorisation_text
        if hasattr(one, "customer_text"):
            missing = text("register.set_missing")
            limits = self.sets.get(one.set_id, missing) if one.set_id else text("register.no_set")
            return one.customer_text if column == "what" else limits
        if column == "what":
            return text(f"register.rule_{one.decision_rule}")
        return text("register.set_count", count=len(one.limits)) if one.limits else ""

    def row_of(self, entry_id: str, id_of: Any) -> int:
        """The row of an entry; -1 where it is not shown."""
        return next((row for row, one in enumerate(self._rows) if id_of(one) == entry_id), -1)
