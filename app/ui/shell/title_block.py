"""The title block on top, as on a drawing: what is on the table, and the four keys that are always there."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.ui import theme
from app.ui.shell.key_button import FlatButton
from app.ui.shell.lettering import Line, Panel
from app.ui.texts import text

HEIGHT: Final = 52
CELLS: Final = ("job", "set_and_ct", "core", "plate")
VERBS: Final = (("undo", "Ctrl+Z"), ("redo", "Ctrl+Y"), ("find", "F3"), ("menu", "F10"))
_STRETCH: Final = {"job": 32, "set_and_ct": 29, "core": 13, "plate": 26}
NARROW: Final = 900


class TrainingMark(Panel):
    """Says by word, in ink turned round, that nothing here is a record; it stands at every width."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("sheet", rules="right", parent=parent)
        self.words = text("training.mark")
        self._lines = self.words.replace(": ", ":\n", 1)
        self.setAccessibleName(self.words)
        self.setFixedWidth(
            QFontMetrics(self._font()).boundingRect(QRect(0, 0, 400, 100), 0, self._lines).width() + 24
        )

    def _font(self) -> QFont:
        return theme.font("value", bold=True)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The words on two lines, light on ink."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("ink"))
        painter.setPen(theme.color("sheet"))
        painter.setFont(self._font())
        painter.drawText(self.rect(), int(Qt.AlignmentFlag.AlignCenter), self._lines)


class TitleBlock(Panel):
    """Name of the program, cells of caption and value, and the buttons Undo, Redo, Find and Menu."""

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None, *, training: bool = False) -> None:
        super().__init__("sheet", rules="bottom", weight=2, parent=parent)
        self.who = Line(role="label")
        self.training = TrainingMark() if training else None
        self.setFixedHeight(HEIGHT)
        self._values: dict[str, Line] = {}
        self._cells: dict[str, QWidget] = {}
        self.buttons: dict[str, FlatButton] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 2)
        row.setSpacing(0)
        row.addWidget(self._name())
        if self.training is not None:
            row.addWidget(self.training)
        for cell in CELLS:
            row.addWidget(self._cell(cell), _STRETCH[cell])
        self._filler = Panel("sheet", rules="right")
        row.addWidget(self._filler, 100)
        for verb, key in VERBS:
            row.addWidget(self._button(verb, key))

    def show_cells(self, **values: str) -> None:
        """Fill the cells; one that is not named becomes empty and folds away."""
        for cell in CELLS:
            value = values.get(cell, "")
            self._values[cell].set_text(value)
        self._fold()

    def show_who(self, name_text: str) -> None:
        """Say who sits here; what is keyed now stands under that name."""
        self.who.set_text(name_text or text("title.who_nobody"))

    def cell_text(self, cell: str) -> str:
        """What a cell says."""
        return self._values[cell].text

    def _name(self) -> QWidget:
        box = Panel("sheet", rules="right")
        inner = QVBoxLayout(box)
        inner.setContentsMargins(12, 3, 10, 3)
        inner.setSpacing(0)
        inner.addWidget(Line(text("app.name"), role="main", bold=True))
        inner.addWidget(self.who)
        box.setFixedWidth(124)
        return box

    def _cell(self, cell: str) -> QWidget:
        box = Panel("sheet", rules="right")
        inner = QVBoxLayout(box)
        inner.setContentsMargins(11, 3, 8, 3)
        inner.setSpacing(0)
        value = Line(role="value", bold=cell in ("set_and_ct", "core"))
        inner.addWidget(Line(text(f"title.{cell}"), role="label"))
        inner.addWidget(value)
        self._values[cell], self._cells[cell] = value, box
        return box

    def _button(self, verb: str, key: str) -> FlatButton:
        button = FlatButton(text(f"title.{verb}"), key)
        button.setMinimumWidth(80)
        button.clicked.connect(lambda: self.asked.emit(verb))
        self.buttons[verb] = button
        return button

    def _fold(self) -> None:
        """On a narrow screen only the job and the core stay; Undo and Redo keep their keys."""
        narrow = self.width() < NARROW
        for cell in CELLS:
            wanted = bool(self._values[cell].text)
            self._cells[cell].setVisible(wanted and not (narrow and cell == "plate"))
        self._filler.setVisible(not any(self._values[cell].text for cell in CELLS))
        for verb in ("redo", "find"):
            self.buttons[verb].setVisible(not narrow)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fold what does not fit."""
        super().resizeEvent(event)
        self._fold()
