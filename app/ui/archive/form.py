"""The question to the archive as a form: every field that is left empty asks nothing."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from app.ui.shell.fields import FormBox, FormField
from app.ui.shell.lettering import Line
from app.ui.texts import text
from app.words import verdict_word
from ctcore.findings import VERDICTS

if TYPE_CHECKING:
    from app.jobstore.archive import Asked

TEXTS: Final = (
    "words_text", "serial_text", "number_text", "site_text", "position_text", "work_order_text",
    "class_text", "person_text", "instrument_text", "tested_from", "tested_until",
)  # fmt: skip
DAYS: Final = ("tested_from", "tested_until")
FLAGS: Final = ("open_deviation", "superseded_too")


class AskedForm(FormBox):
    """Two fields abreast; Enter in the last one asks."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.by_name: dict[str, FormField] = {}
        grid = self._grid = QGridLayout()
        grid.setSpacing(8)
        for name in TEXTS:
            self._add(name, FormField(text(f"asked.{name}"), help_text=text(f"asked.{name}_help")))
        verdicts = [("", text("asked.any")), *((word, verdict_word(word)) for word in VERDICTS[:4])]
        self._add("worst", FormField(text("asked.worst"), choices=verdicts))
        for name in FLAGS:
            choices = [("", text(f"asked.{name}_no")), ("yes", text(f"asked.{name}_yes"))]
            self._add(name, FormField(text(f"asked.{name}"), choices=choices))
        self.clear()
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 8, 14, 12)
        column.setSpacing(8)
        column.addWidget(Line(text("archive.ask"), role="value", bold=True))
        column.addLayout(grid)
        column.addStretch(1)

    def asked(self) -> Asked | None:
        """The question; None where a day is none, which is said at its field."""
        from app.jobstore.archive import Asked

        for name in DAYS:
            field = self.by_name[name]
            field.say(_day_reason(field.value()))
            if field.reason:
                field.line.setFocus(Qt.FocusReason.OtherFocusReason)
                return None
        said: dict[str, Any] = {name: self.by_name[name].value() for name in (*TEXTS, "worst")}
        said |= {name: self.by_name[name].value() == "yes" for name in FLAGS}
        return Asked(**said)

    def put(self, asked: Asked) -> None:
        """Show a question that was kept."""
        for name in (*TEXTS, "worst"):
            self._show(name, getattr(asked, name))
        for name in FLAGS:
            self._show(name, "yes" if getattr(asked, name) else "")

    def clear(self) -> None:
        """Ask nothing."""
        for name in self.by_name:
            self._show(name, "")

    def _show(self, name: str, value: str) -> None:
        field = self.by_name[name]
        field.line.setModified(False)
        field.say("")
        field.show_text(value)

    def _add(self, name: str, field: FormField) -> None:
        self.by_name[name] = self.adopt(field)
        place = len(self.by_name) - 1
        wide = name == "words_text"
        row, column = (0, 0) if wide else ((place + 1) // 2, (place + 1) % 2)
        self._grid.addWidget(field, row, column, 1, 2 if wide else 1, Qt.AlignmentFlag.AlignTop)


def _day_reason(typed: str) -> str:
    if not typed:
        return ""
    try:
        date.fromisoformat(typed)
    except ValueError:
        return text("field.no_date")
    return ""
