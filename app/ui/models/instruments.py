"""The instruments of a job as a table model, with what is wrong with their calibration."""

from __future__ import annotations

from datetime import date, datetime

from PySide6.QtCore import QObject

from app.ui.models.lines import LinesModel
from app.ui.texts import text
from ctcore.job import Instrument


def calibration_words(instrument: Instrument, today: date) -> str:
    """When the calibration ends or ended; an expired one is said on the day it is noticed."""
    if not instrument.due_on:
        return text("instrument.no_due")
    if date.fromisoformat(instrument.due_on) < today:
        return text("instrument.ended", due=instrument.due_on)
    return text("instrument.until", due=instrument.due_on)


class InstrumentsModel(LinesModel[Instrument]):
    """A line per instrument."""

    columns = ("name", "serial", "response", "due")
    heads = "instrument.head"

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.today = datetime.now().astimezone().date()

    def row_of(self, instrument_id: str) -> int:
        """The row of an instrument; -1 where there is none."""
        return next((row for row, one in enumerate(self._rows) if one.instrument_id == instrument_id), -1)

    def words(self, one: Instrument, column: str) -> str:
        """What an instrument says in a column."""
        return {
            "name": one.name_text,
            "serial": one.serial_text,
            "response": text(f"response.{one.response}"),
            "due": calibration_words(one, self.today),
        }[column]
