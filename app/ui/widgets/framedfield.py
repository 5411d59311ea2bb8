"""A field in its box: the frame tells its state, never by colour alone."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.ui import theme
from app.ui.texts import text
from app.ui.widgets.fieldedit import FieldEdit
from ctcore.quantities import Choice, Quantity

SIGNS: Final = {"no number": "!", "doubt": "?"}
_LEAST_WIDTH: Final = 76


class FramedField(QWidget):
    """A caption above a line, in a box; without a caption it is a cell of the row in hand."""

    accepted = Signal(str)

    def __init__(self, caption: str = "", *, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.caption = caption
        self.state = "empty"
        self.reason = ""
        self.locked = False
        self.edit = FieldEdit(self)
        self.setFocusProxy(self.edit)
        # Qt: what fills its whole box says so, else everything beneath is drawn with it (6.11).
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.edit.accepted.connect(self.accepted)
        self.edit.focused.connect(self.update)
        self.edit.show_unit = bool(caption)
        if not caption:
            self.edit.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.dress()

    def dress(self) -> None:
        """Take fonts and sizes of the theme in force."""
        self.setFixedHeight(theme.density().field if self.caption else theme.density().entry_row - 4)
        self._set_font()
        self.updateGeometry()
        self.update()

    def set_content(
        self,
        quantity: Quantity,
        choices: tuple[Choice, ...],
        state: str,
        shown: str,
        kept: str,
        reason: str = "",
    ) -> None:
        """Stand for a field of the sheet."""
        self.state, self.reason = state, reason
        if self.caption:
            self.caption = quantity.heading
        struck = state == "struck"
        self.edit.set_content(
            quantity, choices, "" if struck else shown, "" if struck else kept, offered=state == "repeated"
        )
        self.edit.setPlaceholderText(text("field.not_stated") if state == "must" else "")
        self.edit.setAccessibleName(f"{quantity.name}, {quantity.unit}" if quantity.unit else quantity.name)
        words = text(f"field.state.{state}")
        self.edit.setAccessibleDescription(f"{words}. {reason}" if reason else words)
        self._set_font()
        self.updateGeometry()
        self.update()

    def set_locked(self, locked: bool) -> None:
        """A frozen field is underlined only and takes no keys."""
        self.locked = locked
        self.edit.setFocusPolicy(Qt.FocusPolicy.NoFocus if locked else Qt.FocusPolicy.StrongFocus)
        self.edit.setReadOnly(locked or self.edit.is_choice)
        self.update()

    def _set_font(self) -> None:
        if self.caption:
            bold = self.state in ("must", "no number", "doubt") or self.edit.hasFocus()
            wanted = theme.font("value", bold=bold)
        else:
            focus = self.edit.hasFocus()
            wanted = theme.font("keyed" if focus else "entry", bold=focus or self.state in SIGNS)
        if wanted != self.edit.font():
            self.edit.setFont(wanted)

    def sizeHint(self) -> QSize:
        """As wide as caption and value need."""
        caption = QFontMetrics(theme.font("label")).horizontalAdvance(self.caption) + 18
        words = [self.edit.text() or self.edit.placeholderText()]
        unit = self.edit.quantity.unit if self.edit.quantity else ""
        bold = self.state in ("must", *SIGNS)
        value = QFontMetrics(theme.font("value", bold=bold)).horizontalAdvance(f"{words[0]} {unit}") + 18
        return QSize(max(_LEAST_WIDTH, caption, value + (18 if self.state in SIGNS else 0)), self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the line under the caption, or in the middle."""
        super().resizeEvent(event)
        right = 22 if self.state in SIGNS else 7
        if self.caption:
            self.edit.setGeometry(6, self.height() - 26, self.width() - 6 - right, 23)
        else:
            self.edit.setGeometry(5, 3, self.width() - 5 - right, self.height() - 6)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on the caption is a touch on the field."""
        if not self.locked:
            self.edit.setFocus(Qt.FocusReason.MouseFocusReason)
        event.accept()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, frame, caption and sign."""
        self._set_font()
        painter = QPainter(self)
        focus = self.edit.hasFocus()
        must = self.state == "must" and not focus
        painter.fillRect(self.rect(), theme.color("here_tint" if must else "sheet"))
        if self.locked:
            painter.setPen(QPen(theme.color("border"), 1.5))
            painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        else:
            self._draw_frame(painter, focus)
        if self.caption:
            painter.setPen(theme.color("ink" if must else "label"))
            painter.setFont(theme.font("label"))
            box = QRect(8, 3, self.width() - 12, 18)
            shown = painter.fontMetrics().elidedText(self.caption, Qt.TextElideMode.ElideRight, box.width())
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, shown)
        if self.state in SIGNS:
            painter.setPen(theme.color("ink"))
            painter.setFont(theme.font("heading", bold=True))
            box = QRect(self.width() - 22, 0, 16, self.height())
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, SIGNS[self.state])

    def _draw_frame(self, painter: QPainter, focus: bool) -> None:
        if focus:
            pen = QPen(theme.color("here"), 3)
        elif self.state == "must":
            pen = QPen(theme.color("here"), 2)
        elif self.state in SIGNS:
            pen = QPen(theme.color("ink"), 2.5)
        else:
            pen = QPen(theme.color("border"), 1)
            if self.state == "repeated":
                pen.setDashPattern([5, 4])
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        inset = pen.widthF() / 2
        painter.setPen(pen)
        painter.drawRect(self.rect().toRectF().adjusted(inset, inset, -inset, -inset))
