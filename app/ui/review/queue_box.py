"""What waits for review, with a button for each order: worst finding, longest wait, end of outage."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.ui.review.queue_list import QueueDelegate, QueueModel
from app.ui.shell.lettering import Line, Panel
from app.ui.shell.lines_view import LinesView
from app.ui.shell.tab_button import TabButton
from app.ui.texts import text

ORDERS: Final = ("worst", "age", "outage")
_WIDE: Final = 248


class QueueBox(Panel):
    """Heading, three orders of which one is in force, the jobs."""

    ordered = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("sheet", rules="right", parent=parent)
        self.setFixedWidth(_WIDE)
        self.model, self.list = QueueModel(self), LinesView()
        self.list.setModel(self.model)
        self.list.setItemDelegate(QueueDelegate(self.list))
        self.list.setAccessibleName(text("review.waiting"))
        self.count = Line(role="second")
        self.orders = {one: TabButton(text(f"review.order.{one}"), is_open=False) for one in ORDERS}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 1, 0)
        column.setSpacing(2)
        for line in (Line(text("review.waiting"), role="value", bold=True), self.count):
            row = QHBoxLayout()
            row.setContentsMargins(14, 0, 8, 0)
            row.addWidget(line)
            column.addLayout(row)
        row = QHBoxLayout()
        row.setSpacing(0)
        for order, button in self.orders.items():
            button.setAccessibleName(f"{text('review.order')}: {button.text()}")
            button.setToolTip(f"Alt+{button.text()[0]}")
            button.clicked.connect(lambda _checked=False, order=order: self.ordered.emit(order))
            row.addWidget(button, 1)
        column.addLayout(row)
        column.addWidget(self.list, 1)

    def show_order(self, order: str) -> None:
        """Show which order is in force."""
        for one, button in self.orders.items():
            button.set_open(one == order)
