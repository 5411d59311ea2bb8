"""The line that is typed in: numbers with their unit, choices by letter or number key, free text."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFont,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QLineEdit, QWidget

from app.ui import theme
from app.ui.widgets.choosing import Choosing, next_answer_key
from app.words import figures
from ctcore.entry.units import column
from ctcore.quantities import Choice, Quantity

_UNIT_STEPS_COUNT = 2
_GONE_ELSEWHERE = (
    Qt.FocusReason.MouseFocusReason,
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
)
_LEFT_TO_THE_PAGE = (
    Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown,
)  # fmt: skip


def unit_cycle(unit: str) -> tuple[str, ...]:
    """The units that one key goes round: the column's own, larger ones, then smaller ones.

    >>> unit_cycle("mA"), unit_cycle("degC")
    (('mA', 'A', 'kA', 'nA', 'uA'), ('degC',))
    """
    dimension = column(unit).dimension
    powers = {"n": -9, "u": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9, "T": 12}
    names = sorted((prefix for prefix in ("", *dimension.prefixes)), key=powers.__getitem__)
    units = [prefix + dimension.base for prefix in names]
    if unit not in units:
        return (unit,)
    here = units.index(unit)
    return (
        unit,
        *units[here + 1 : here + 1 + _UNIT_STEPS_COUNT],
        *units[max(0, here - _UNIT_STEPS_COUNT) : here],
    )


class FieldEdit(QLineEdit):
    """One field's line. Enter tells `accepted`; keys that are not its own go on to the page.

    While nobody types it shows the figure; with the focus it shows the text as it was typed.
    """

    accepted = Signal(str)
    typed = Signal(str)
    focused = Signal()
    abandoned = Signal(str)
    same_as_above = Signal()
    help_asked = Signal()
    unmatched = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrame(False)
        self.quantity: Quantity | None = None
        self.choices: tuple[Choice, ...] = ()
        self.decimal_mark = "."
        self.show_unit = True
        self.offered = False
        self.helped = False
        self._shown = self._kept = ""
        self._unit = ""
        self._choosing = Choosing()
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        self.textEdited.connect(self._tell_typed)

    # What it stands for

    def set_content(
        self, quantity: Quantity, choices: tuple[Choice, ...], shown: str, kept: str, *, offered: bool = False
    ) -> None:
        """Stand for a field: the figure shown, the text kept, and whether it is only offered."""
        same = self.quantity == quantity and (shown, kept, offered) == (self._shown, self._kept, self.offered)
        self.quantity, self.choices, self.offered = quantity, choices, offered
        self.setReadOnly(self.is_choice)
        if same and self.is_edited:
            return
        self._shown, self._kept = shown, kept
        self._unit = quantity.unit
        self._restore()

    @property
    def is_choice(self) -> bool:
        """Whether the field is answered by choosing."""
        return bool(self.choices)

    @property
    def is_number(self) -> bool:
        """Whether the field wants a number."""
        return self.quantity is not None and self.quantity.kind == "number"

    @property
    def is_edited(self) -> bool:
        """Whether something stands here that is not kept yet."""
        return self.hasFocus() and (self.text() != self._resting_text() or self._unit != self._own_unit)

    @property
    def unit(self) -> str:
        """The unit of this entry."""
        return self._unit

    @property
    def _own_unit(self) -> str:
        return self.quantity.unit if self.quantity else ""

    def entry_text(self) -> str:
        """What would be kept: the text, with the unit where it is another one than the column's."""
        typed = self.text().strip()
        if self.quantity is not None and self.quantity.quantity_id == "tap_id":
            return next((choice.value for choice in self.choices if choice.words == typed), typed)
        if typed and self.is_number and self._unit != self._own_unit:
            return f"{typed} {figures.symbol(self._unit)}"
        return typed

    def kept_text(self) -> str:
        """The text that is kept already."""
        return self._kept

    def fill(self, text: str) -> None:
        """Put a text in as if it was typed."""
        self.setText(text)
        self._tell_typed()

    def revert(self) -> None:
        """Go back to what is kept."""
        self._unit = self._own_unit
        self._restore()
        self._tell_typed()

    def _resting_text(self) -> str:
        return self._kept if self.hasFocus() and not self.is_choice else self._shown

    def _restore(self) -> None:
        self.setText(self._resting_text())
        if self.hasFocus():
            self.selectAll()
        self.setCursorPosition(len(self.text())) if not self.hasFocus() else None
        self.update()

    def _tell_typed(self, *_args: object) -> None:
        self.typed.emit(self.entry_text())
        self.update()

    # Keys

    def event(self, event: QEvent) -> bool:
        """The first F1 in a field asks about the field; the next one is left to the window."""
        wanted = event.type() == QEvent.Type.ShortcutOverride and not self.helped
        if wanted and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_F1:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Handle the keys of a numeric pad; leave to the page what moves between fields and rows."""
        key = Qt.Key(event.key())
        control = bool(
            event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
        )
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.accept_typed()
        elif key == Qt.Key.Key_F1:
            self.helped = True
            self.help_asked.emit()
        elif key == Qt.Key.Key_Escape:
            self.revert()
        elif (
            key in _LEFT_TO_THE_PAGE
            or (key in (Qt.Key.Key_Home, Qt.Key.Key_End) and not self.is_edited)
            or (key == Qt.Key.Key_Delete and not self.is_edited)
            or (control and self._is_for_the_page(event))
        ):
            event.ignore()
        elif (not control and self._handle_sign(event)) or (
            not control and self.is_choice and self._handle_choice(event)
        ):
            event.accept()
        else:
            super().keyPressEvent(event)

    def accept_typed(self) -> None:
        """What Enter does: keep the text, unless letters stand that choose no answer; those are let go of."""
        if not self._choosing.held_back():
            self.accepted.emit(self.entry_text())

    def _is_for_the_page(self, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_V:
            held = QGuiApplication.clipboard().mimeData()
            clip = held.text().rstrip("\r\n") if held is not None else ""
            return "\t" in clip or "\n" in clip or (held is not None and not clip and held.hasImage())
        if event.key() in (Qt.Key.Key_Z, Qt.Key.Key_Y):
            return not self.is_edited
        return event.key() not in (Qt.Key.Key_C, Qt.Key.Key_X, Qt.Key.Key_A, Qt.Key.Key_Backspace)

    def _handle_sign(self, event: QKeyEvent) -> bool:
        """The four signs of the numeric pad and its decimal key."""
        sign = event.text()
        if sign == "+" and (not self.text() or self.selectedText() == self.text()) and not self.is_edited:
            self.same_as_above.emit()
            return True
        if self.is_choice:
            return False
        if self.is_number and sign == "/":
            self._next_unit()
            return True
        if self.is_number and sign == "*":
            self._toggle_over_range()
            return True
        from_pad = bool(event.modifiers() & Qt.KeyboardModifier.KeypadModifier)
        if self.is_number and from_pad and sign in (".", ","):
            self.insert(self.decimal_mark)
            self._tell_typed()
            return True
        return False

    def _next_unit(self) -> None:
        cycle = unit_cycle(self._own_unit)
        self._unit = cycle[(cycle.index(self._unit) + 1) % len(cycle)]
        self._tell_typed()

    def _toggle_over_range(self) -> None:
        bare = self.text().lstrip("> ")
        self.fill(bare if self.text().startswith(">") else f">{bare}")

    def _handle_choice(self, event: QKeyEvent) -> bool:
        words = [choice.words for choice in self.choices]
        answer = self._choosing.press(event, words, self.text(), numbered=True)
        if answer is None:
            return False
        if answer != self.text():
            self.fill(answer)
        self.unmatched.emit(self._choosing.reason)
        return True

    # Qt

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on a choice that has the focus goes to the next answer."""
        had_focus = self.hasFocus()
        super().mousePressEvent(event)
        if had_focus and self.is_choice:
            self._choosing.forget()
            self._handle_choice(next_answer_key())

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the text as typed, all of it chosen."""
        super().focusInEvent(event)
        self.helped = False
        if event.reason() != Qt.FocusReason.ActiveWindowFocusReason:
            self._restore()
        self.focused.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show the figure again; what was typed but not kept stays, and is told when one goes elsewhere."""
        edited = self.is_edited_text()
        super().focusOutEvent(event)
        if self._choosing.held_back():
            self.unmatched.emit("")
        if edited and event.reason() in _GONE_ELSEWHERE:
            self.abandoned.emit(self.entry_text())
        if not edited and event.reason() != Qt.FocusReason.ActiveWindowFocusReason:
            self.setText(self._shown)
        self.update()

    def is_edited_text(self) -> bool:
        """Whether the text differs from what is kept and from what is shown."""
        return self.text() not in (self._kept, self._shown)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The text, the unit behind it, and a caret in plum."""
        unit = self._unit_words()
        metrics = QFontMetrics(self._unit_font())
        room = metrics.horizontalAdvance(unit) + 6 if unit else 0
        if self.textMargins().right() != room:
            self.setTextMargins(0, 0, room, 0)
        if not self.hasFocus() and self._is_too_long(room):
            self._paint_elided()
            return
        super().paintEvent(event)
        painter = QPainter(self)
        if unit:
            painter.setFont(self._unit_font())
            painter.setPen(theme.color("ink"))
            box = QRect(self._unit_left(metrics, unit), 1, room, self.height())
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, unit)
        if self.hasFocus() and not self.hasSelectedText():
            caret = self.cursorRect()
            painter.fillRect(
                QRect(caret.center().x() - 1, caret.top(), 3, caret.height()), theme.color("here")
            )

    def _is_too_long(self, room: int) -> bool:
        return QFontMetrics(self.font()).horizontalAdvance(self.text()) > self.width() - room - 4

    def _paint_elided(self) -> None:
        """The beginning of a text that the box cannot hold; with the focus all of it can be gone through."""
        painter = QPainter(self)
        painter.setFont(self.font())
        painter.setPen(theme.color("ink"))
        shown = painter.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, self.width() - 4)
        painter.drawText(
            self.rect().adjusted(2, 0, -2, 0), self.alignment() | Qt.AlignmentFlag.AlignVCenter, shown
        )

    def _unit_words(self) -> str:
        if not self.is_number or (not self.text() and not self.hasFocus()):
            return ""
        if self._unit == self._own_unit and (not self.show_unit or (self.hasFocus() and self._types_unit())):
            return ""
        return figures.symbol(self._unit)

    def _types_unit(self) -> bool:
        return any(character.isalpha() for character in self.text())

    def _unit_left(self, metrics: QFontMetrics, unit: str) -> int:
        if self.alignment() & Qt.AlignmentFlag.AlignRight:
            return self.width() - metrics.horizontalAdvance(unit) - 2
        return min(
            QFontMetrics(self.font()).horizontalAdvance(self.text() or self.placeholderText()) + 7,
            self.width() - metrics.horizontalAdvance(unit),
        )

    def _unit_font(self) -> QFont:
        return self.font() if self.show_unit else theme.font("label", bold=True)
