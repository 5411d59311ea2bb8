"""What a verdict rests on, to read, and the office's own limit, to set."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.fields import FormField
from app.ui.shell.lettering import Words
from app.ui.texts import text
from app.ui.worksheet.basis import Basis, limit_words
from ctcore.findings import Finding

# What was typed: lower limit, upper limit, reason, name.
Keep = Callable[[str, str, str, str], None]


class BasisDialog(DialogFrame):
    """Words, budget, and four fields where there is a limit to replace and the job can be changed."""

    def __init__(
        self, finding: Finding, basis: Basis, *, keep: Keep | None, person_text: str, parent: QWidget | None
    ) -> None:
        can_change = keep is not None and basis.has_limit
        super().__init__(
            basis.heading, main=text("basis.keep" if can_change else "basis.close"), intro=basis.told,
            width=760, parent=parent,
        )  # fmt: skip
        self._keep_limit = keep
        self.budget = _budget_grid(basis)
        self.body.addWidget(self.budget)
        if not can_change:
            self.cancel.hide()
            self.confirmed.connect(self.accept)
            return
        held = basis.override
        self.body.addWidget(Words(text("basis.office"), role="value", bold=True))
        low, high = (finding.limit_low, finding.limit_high) if held else (None, None)
        self.low, self.high = FormField(text("basis.low")), FormField(text("basis.high"))
        self.low.show_text(limit_words(finding, low))
        self.high.show_text(limit_words(finding, high))
        self.add_row(self.low, self.high)
        self.reason = self.add_field(text("basis.reason"), held.reason_text if held else "")
        self.name = self.add_field(text("basis.name"), held.person_text if held else person_text)
        if held is not None:
            take_out = self.add_button(text("basis.take_out"), "Alt+T")
            take_out.answer_key()
            take_out.clicked.connect(lambda: self._ask("", ""))
        self.confirmed.connect(lambda: self._ask(self.low.value(), self.high.value()))

    def _ask(self, low_text: str, high_text: str) -> None:
        if self._keep_limit is not None:
            self._keep_limit(low_text, high_text, self.reason.value(), self.name.value())


def _budget_grid(basis: Basis) -> QWidget:
    """A line for each part of the uncertainty; one sentence where none is stated."""
    box = QWidget()
    grid = QGridLayout(box)
    grid.setContentsMargins(0, 4, 0, 8)
    grid.setHorizontalSpacing(16)
    grid.setVerticalSpacing(3)
    if not basis.budget:
        grid.addWidget(Words(text("basis.no_budget"), role="value"), 0, 0)
        return box
    heads = tuple(text(f"basis.head.{name}") for name in ("part", "u", "share", "from"))
    for row, texts in enumerate((heads, *basis.budget)):
        for column, words in enumerate(texts):
            bold = row in (0, len(basis.budget))
            cell = Words(words, role="value", bold=bold)
            side = Qt.AlignmentFlag.AlignRight if column in (1, 2) else Qt.AlignmentFlag.AlignLeft
            cell.setAlignment(side | Qt.AlignmentFlag.AlignTop)
            cell.setWordWrap(column in (0, 3))
            grid.addWidget(cell, row, column)
    grid.setColumnStretch(0, 3)
    grid.setColumnStretch(3, 4)
    return box
