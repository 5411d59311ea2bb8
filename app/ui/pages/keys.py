"""What every key does, on one page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.scroll import Scroll
from app.ui.shell.verbs import VERBS
from app.ui.texts import text
from app.ui.worksheet.page_keys import ACTS

if TYPE_CHECKING:
    from app.ui.window import MainWindow

# Signs that a field of the worksheet takes for itself; their words stand under `keys.<name>`.
FIELD: Final = (
    ("+", "plus"),
    ("/", "slash"),
    ("*", "star"),
    ("Esc", "escape"),
    ("F1", "f1"),
    ("Alt+1–9", "step"),
)
_NARROW: Final = 900
# Keys of the review; letters order what waits, numbers show its views.
REVIEW: Final = (
    ("Alt+1–4", "review_view"),
    ("Alt+W Alt+A Alt+O", "review_order"),
    ("Ctrl+A", "review_accept"),
    ("Ctrl+B", "review_back"),
    ("Ctrl+D", "review_concession"),
    ("F4", "review_comment"),
    ("Ctrl+K", "review_talk"),
    ("Shift+F4", "review_reopen"),
    ("Ctrl+Enter", "review_sign"),
)
ELSEWHERE: Final = (
    ("Enter", "form_enter"), ("← → Space", "form_choice"), ("Tab", "tab"), ("Esc", "back"),
    ("PgUp PgDn G", "sheet_page"), ("A W + −", "sheet_size"), ("Enter ⇧Enter", "sheet_find"),
    ("Ctrl+.", "stop"),
)  # fmt: skip


def worksheet_rows() -> list[tuple[str, str]]:
    """Keys and words of the worksheet, from the acts that its keys do; keys of one act in one line."""
    keys: dict[str, list[str]] = {}
    for act in ACTS:
        keys.setdefault(act.name, []).append(act.key)
    acts = [(" ".join(found), text(f"keys.{name}")) for name, found in keys.items()]
    return [*acts, *((key, text(f"keys.{name}")) for key, name in FIELD)]


def everywhere_rows() -> list[tuple[str, str]]:
    """Keys and words of the menu, and of forms and dialogs."""
    verbs = [(verb.key, text(f"verb.{verb.verb_id}")) for verb in VERBS if verb.key]
    return [*verbs, *((key, text(f"keys.{name}")) for key, name in ELSEWHERE)]


def review_rows() -> list[tuple[str, str]]:
    """Keys and words of the review."""
    return [(key, text(f"keys.{name}")) for key, name in REVIEW]


def as_text() -> str:
    """Every key with what it does, a line each, to be printed or kept beside the screen."""
    parts = (
        (text("keys.worksheet"), worksheet_rows()),
        (text("keys.review"), review_rows()),
        (text("keys.everywhere"), everywhere_rows()),
    )
    lines = [[heading, *(f"{key}\t{words}" for key, words in rows), ""] for heading, rows in parts]
    return "\n".join(line for part in lines for line in part)


class KeysPage(QWidget):
    """Tables: the worksheet's keys, those of the review, and those that work everywhere."""

    page_id = "keys"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        inner = QWidget()
        columns = self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight, inner)
        columns.setContentsMargins(16, 12, 16, 12)
        columns.setSpacing(32)
        everywhere = everywhere_rows()
        half = len(everywhere) // 2
        columns.addLayout(self._table(text("keys.worksheet"), worksheet_rows()), 5)
        columns.addLayout(self._table(text("keys.everywhere"), everywhere[:half]), 4)
        last = self._table(text("keys.more"), everywhere[half:])
        last.insertLayout(0, self._table(text("keys.review"), review_rows(), stretched=False))
        columns.addLayout(last, 4)
        self._scroll = Scroll(inner)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._scroll.setAccessibleName(text("verb.keys"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._scroll, 1)
        column.addWidget(self._foot())

    def _foot(self) -> QWidget:
        """Where the jobs lie, and the keys as a text."""
        foot = Panel("sheet", rules="top", weight=2)
        row = QHBoxLayout(foot)
        row.setContentsMargins(16, 5, 8, 3)
        row.setSpacing(10)
        row.addWidget(Words(text("keys.folder", folder=self._window.settings.folder)), 1)
        self.copy = VerbButton(text("keys.copy"), "Alt+C")
        self.copy.clicked.connect(self._copy)
        self.copy.answer_key()
        row.addWidget(self.copy)
        return foot

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(as_text())
        self._window.bar.note(text("keys.copied"))

    def first_focus(self) -> None:
        """Arrows scroll."""
        self._scroll.setFocus()

    def parts(self) -> list[Part]:
        """The keys, and the button beneath."""
        return [Part(self._scroll, self.first_focus), Part(self.copy, self.copy.setFocus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the tables stand one under another."""
        super().resizeEvent(event)
        wide = self.width() >= _NARROW
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._columns.setDirection(way)

    def _table(self, heading: str, rows: list[tuple[str, str]], *, stretched: bool = True) -> QVBoxLayout:
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
        if stretched:
            column.addStretch(1)
        return column
