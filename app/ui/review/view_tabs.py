"""What of a job is looked at: what is to be decided, every line, what changed; and the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from app.ui.shell.lettering import Line, Panel
from app.ui.shell.tab_button import TabButton
from app.ui.texts import text
from app.words import verdict_word

if TYPE_CHECKING:
    from app.ui.review.state import ReviewState

VIEWS: Final = ("to_decide", "all", "changed")
SHEET: Final = "sheet"
_VERDICTS: Final = ("outside", "refer", "not tested", "within", "not applicable")


class ViewTabs(Panel):
    """A tab for each view with its key, Alt+1 to Alt+4; at the right the verdicts of the whole job."""

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("sheet", rules="bottom", parent=parent)
        self.setFixedHeight(45)
        self.view_id = VIEWS[0]
        self.tabs = {one: TabButton("", is_open=one == self.view_id) for one in (*VIEWS, SHEET)}
        self.counts = Line(role="value", bold=True)
        self.counts.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 16, 1)
        row.setSpacing(0)
        for number, (view_id, tab) in enumerate(self.tabs.items(), start=1):
            tab.setToolTip(f"Alt+{number}")
            tab.clicked.connect(lambda _checked=False, view_id=view_id: self.asked.emit(view_id))
            row.addWidget(tab)
        row.addStretch(1)
        row.addWidget(self.counts)

    def open(self, view_id: str) -> None:
        """Show which view is in hand."""
        self.view_id = view_id
        for one, tab in self.tabs.items():
            tab.set_open(one == view_id)

    def put(self, state: ReviewState, *, narrow: bool) -> None:
        """Fill in the numbers."""
        since = _short(state.changed.since_text) if state.changed is not None else ""
        count = state.changed_count
        words = {
            "to_decide": text("review.of", open=state.open_count, all=len(state.lines)),
            "all": text("review.all_lines", count=state.every_count),
            "changed": text("review.changed_since", count=count, when=since) if since else "",
            SHEET: text("review.sheet"),
        }
        if narrow:
            words["changed"] = text("review.changed_short", count=count) if since else ""
        for view_id, tab in self.tabs.items():
            tab.show_words(words[view_id])
            tab.setVisible(bool(words[view_id]) and state.view is not None)
        counts: Mapping[str, int] = state.counts or {}
        told = [f"{counts[verdict]} {verdict_word(verdict)}" for verdict in _VERDICTS if counts.get(verdict)]
        self.counts.set_text(" · ".join(told))
        self.counts.setVisible(not narrow)


def _short(moment_text: str) -> str:
    """Day and minute of a moment; a text of another form as it is."""
    parts = moment_text.split(" ")
    return f"{parts[0]} {parts[1]} {parts[3][:5]}" if len(parts) > 3 else moment_text
