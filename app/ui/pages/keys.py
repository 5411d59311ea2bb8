"""What every key does, on one page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QGridLayout, QVBoxLayout, QWidget

from app.ui.shell.lettering import Line, Words
from app.ui.shell.part import Part
from app.ui.shell.scroll import Scroll
from app.ui.shell.verbs import VERBS
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

# Keys of the worksheet; their words stand in the text table under `keys.<name>`.
WORKSHEET: Final = (
    ("Enter", "enter"), ("+", "plus"), ("/", "slash"), ("*", "star"), ("↑ ↓", "arrows"),
    ("PgUp PgDn", "page"), ("Home End", "ends"), ("Del", "delete"), ("Esc", "escape"),
    ("F2", "f2"), ("F4", "f4"), ("F5", "f5"),
    ("F7", "f7"), ("F11", "f11"), ("F12", "f12"), ("Alt+1–9", "step"), ("Alt+← →", "sister"),
    ("Ctrl+G", "finding"), ("Ctrl+K", "offer"), ("Ctrl+L", "view"), ("Ctrl+V", "paste"),
    ("Ctrl+U", "again"), ("Ctrl+M", "instrument"),
)  # fmt: skip
_NARROW: Final = 900
ELSEWHERE: Final = (("Enter", "form_enter"), ("← → Space", "form_choice"), ("Tab", "tab"), ("Esc", "back"))


class KeysPage(QWidget):
    """Two tables: the worksheet's keys, and those that work everywhere."""

    page_id = "keys"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        inner = QWidget()
        columns = self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight, inner)
        columns.setContentsMargins(16, 12, 16, 12)
        columns.setSpacing(32)
        worksheet = [(key, text(f"keys.{name}")) for key, name in WORKSHEET]
        everywhere = [(verb.key, text(f"verb.{verb.verb_id}")) for verb in VERBS if verb.key]
        elsewhere = [(key, text(f"keys.{name}")) for key, name in ELSEWHERE]
        half = len(everywhere) // 2 + 3
        columns.addLayout(self._table(text("keys.worksheet"), worksheet), 5)
        columns.addLayout(self._table(text("keys.everywhere"), everywhere[:half]), 4)
        columns.addLayout(self._table(text("keys.more"), everywhere[half:] + elsewhere), 4)
        self._scroll = Scroll(inner)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._scroll.setAccessibleName(text("verb.keys"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._scroll)

    def first_focus(self) -> None:
        """Arrows scroll."""
        self._scroll.setFocus()

    def parts(self) -> list[Part]:
        """One part only."""
        return [Part(self._scroll, self.first_focus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the tables stand one under another."""
        super().resizeEvent(event)
        wide = self.width() >= _NARROW
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._columns.setDirection(way)

    def _table(self, heading: str, rows: list[tuple[str, str]]) -> QVBoxLayout:
        column = QVBoxLayout()
        column.addWidget(Line(heading, role="heading", bold=True))
        grid = QGridLayout()
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(5)
        for row, (key, words) in enumerate(rows):
            name = Words(key, role="finding", bold=True)
            name.setWordWrap(False)
            grid.addWidget(name, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(Words(words, role="finding"), row, 1)
        grid.setColumnStretch(1, 1)
        column.addLayout(grid)
        column.addStretch(1)
        return column
