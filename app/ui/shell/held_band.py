"""A band under the title block while a job is with somebody else, or came back from there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.ui.shell.key_button import PlainButton
from app.ui.shell.lettering import Line, Panel
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import View

_NARROW: Final = 900
VERBS: Final = ("take_in", "take_back", "write_signed", "review")


class HeldBand(Panel):
    """One sentence and the few things that a job which is elsewhere, or came back, still takes."""

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("sheet", rules="bottom", parent=parent)
        self.setFixedHeight(54)
        self.words = Line(role="value", bold=True)
        self.buttons = {verb: PlainButton(text(f"held.{verb}")) for verb in VERBS}
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 4, 8, 5)
        row.setSpacing(8)
        row.addWidget(self.words, 1)
        for verb, button in self.buttons.items():
            button.setFixedHeight(44)
            button.clicked.connect(lambda _checked=False, verb=verb: self.asked.emit(verb))
            row.addWidget(button)
        self.hide()

    def put(self, view: View | None, page_id: str, me_text: str) -> None:
        """Say where the job is; nothing where it is here and nobody answered."""
        signed = view is not None and bool(view.revisions) and view.revisions[-1].signed
        if view is None or not signed or page_id in ("jobs", "my_key", "office", "check", "keys"):
            self.hide()
            return
        mine = view.revisions[-1].name_text == me_text
        away = bool(view.away_text) and view.job.state in ("handed_in", "sent_back")
        back = mine and not away and view.job.state == "sent_back" and page_id != "review"
        if away:
            self.words.set_text(text("held.away", where=view.away_text))
        elif back:
            self.words.set_text(text("held.back"))
        shown = {
            "take_in": away and mine,
            "take_back": away and mine and view.job.state == "handed_in",
            "write_signed": away,
            "review": back,
        }
        for verb, button in self.buttons.items():
            button.setVisible(shown[verb])
        self.setVisible(away or back)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen writing the file once more gives way to the sentence."""
        super().resizeEvent(event)
        if self.width() < _NARROW:
            self.buttons["write_signed"].hide()
