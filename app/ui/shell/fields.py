"""Fields of forms and dialogs: a caption above a line in a box, and the reason beneath."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QEvent, QKeyCombination, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from app.ui import theme
from app.ui.shell.lettering import Words
from app.ui.shell.scroll import bring_into_view
from app.ui.texts import text
from app.ui.widgets.choosing import Choosing, next_answer_key
from app.words import retold

_HELP_KEY: Final = QKeyCombination(Qt.Key.Key_F1)


class PlainLine(QLineEdit):
    """A line whose Undo and Redo are the job's wherever nothing was typed in it."""

    def event(self, event: QEvent) -> bool:
        """Undo and redo belong to the job where nothing was typed here."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            undo = event.matches(QKeySequence.StandardKey.Undo) and not self.isUndoAvailable()
            redo = event.matches(QKeySequence.StandardKey.Redo) and not self.isRedoAvailable()
            if undo or redo:
                event.ignore()
                return False
        return super().event(event)


class FormLine(PlainLine):
    """The line itself: text, or one of several answers that letters, arrows, Space or a number choose."""

    entered = Signal()
    left = Signal()
    unmatched = Signal(str)
    help_asked = Signal()

    def __init__(self, choices: Sequence[tuple[str, str]] = (), parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.choices = tuple(choices)
        # Where nothing is known of the field its F1 is the window's at once.
        self.help_text = ""
        self.helped = True
        self._choosing = Choosing()
        self.setFrame(False)
        self.setStyleSheet("QLineEdit, QLineEdit:focus { border: 0; padding: 0; background: transparent; }")
        self.setReadOnly(bool(self.choices))
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        self.setAttribute(Qt.WidgetAttribute.WA_MacShowFocusRect, False)

    def event(self, event: QEvent) -> bool:
        """The first F1 in a field asks about the field; the next one is left to the window."""
        wanted = event.type() == QEvent.Type.ShortcutOverride and not self.helped
        if wanted and isinstance(event, QKeyEvent) and event.keyCombination() == _HELP_KEY:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on; the answers of a choice go round."""
        if event.keyCombination() == _HELP_KEY and not self.helped:
            self.helped = True
            self.help_asked.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if not self._choosing.held_back():
                self.entered.emit()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.focusNextPrevChild(event.key() == Qt.Key.Key_Down)
        elif self.choices and self._choose(event):
            event.accept()
        else:
            super().keyPressEvent(event)

    def _choose(self, event: QKeyEvent) -> bool:
        answer = self._choosing.press(event, [words for _, words in self.choices], self.text())
        if answer is None:
            return False
        if answer != self.text():
            self.setText(answer)
            self.setModified(True)
        self.unmatched.emit(self._choosing.reason)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on a choice that has the focus goes to the next answer."""
        had_focus = self.hasFocus()
        super().mousePressEvent(event)
        if self.choices and had_focus:
            self._choosing.forget()
            self._choose(next_answer_key())

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The whole text is chosen, so that typing replaces it."""
        super().focusInEvent(event)
        self.helped = not self.help_text
        if self._choosing.held_back():
            self.unmatched.emit("")
        if event.reason() is not Qt.FocusReason.ActiveWindowFocusReason:
            self.selectAll()
        bring_into_view(self)
        parent = self.parentWidget()
        if parent is not None:
            parent.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that the field was left; what was typed is kept then."""
        super().focusOutEvent(event)
        self.setCursorPosition(0)
        parent = self.parentWidget()
        if parent is not None:
            parent.update()
        if event.reason() not in (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason):
            self.left.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The text, and a caret in plum; the arrows of a choice."""
        super().paintEvent(event)
        painter = QPainter(self)
        if self.choices and self.hasFocus():
            painter.setPen(theme.color("label"))
            painter.setFont(theme.font("key"))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, "◂ ▸")
        elif self.hasFocus() and not self.hasSelectedText() and not self.isReadOnly():
            caret = self.cursorRect()
            painter.fillRect(
                QRect(caret.center().x() - 1, caret.top(), 3, caret.height()), theme.color("here")
            )


class _Box(QWidget):
    """The frame around caption and line; it tells focus, lock and trouble by its lines."""

    def __init__(self, field: FormField) -> None:
        super().__init__(field)
        self._field = field
        field.line.setParent(self)
        self.dress()
        theme.current().changed.connect(self.dress)

    def dress(self) -> None:
        """Take sizes and letters of the theme in force; without a caption a field is lower."""
        self.setFixedHeight(theme.density().field - (0 if self._field.caption else 8))
        self._field.line.setFont(theme.font("value"))
        self.place_line()

    def place_line(self) -> None:
        """The line stands under the caption, or in the middle where there is none."""
        right = 24 if self._field.reason else 8
        top, tall = (self.height() - 25, 22) if self._field.caption else (4, self.height() - 8)
        self._field.line.setGeometry(8, top, max(10, self.width() - 8 - right), tall)

    def sizeHint(self) -> QSize:
        """As wide as the caption."""
        wide = QFontMetrics(theme.font("label")).horizontalAdvance(self._field.caption) + 20
        return QSize(max(90, wide), self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The line goes with the box."""
        super().resizeEvent(event)
        self.place_line()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A touch on the caption is a touch on the line."""
        if self._field.line.focusPolicy() is not Qt.FocusPolicy.NoFocus:
            self._field.line.setFocus(Qt.FocusReason.MouseFocusReason)
        event.accept()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Ground, frame, caption, sign."""
        painter = QPainter(self)
        field, focus = self._field, self._field.line.hasFocus()
        missing = field.must_be_stated and not field.line.text() and not focus
        painter.fillRect(self.rect(), theme.color("here_tint" if missing else "sheet"))
        if field.locked:
            painter.setPen(QPen(theme.color("border"), 1.5))
            painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        else:
            stroke = 3 if focus else 2.5 if field.reason else 2 if missing else 1
            role = "here" if focus or missing else "ink" if field.reason else "border"
            pen = QPen(theme.color(role), stroke)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(self.rect().toRectF().adjusted(stroke / 2, stroke / 2, -stroke / 2, -stroke / 2))
        if missing:
            painter.setPen(theme.color("ink"))
            painter.setFont(theme.font("value", bold=True))
            box = field.line.geometry().adjusted(2, 0, 0, 0)
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, text("field.not_stated"))
        painter.setPen(theme.color("label"))
        painter.setFont(theme.font("label"))
        caption = QRect(9, 3, self.width() - 14, 18)
        shown = painter.fontMetrics().elidedText(field.caption, Qt.TextElideMode.ElideRight, caption.width())
        painter.drawText(caption, Qt.AlignmentFlag.AlignVCenter, shown)
        if field.reason:
            painter.setPen(theme.color("ink"))
            painter.setFont(theme.font("heading", bold=True))
            painter.drawText(
                QRect(self.width() - 24, 0, 16, self.height()), Qt.AlignmentFlag.AlignCenter, "!"
            )


class FormField(QWidget):
    """One question of a form. `kept` tells the text when Enter or another field takes the focus."""

    kept = Signal(str)
    went_on = Signal(bool)

    def __init__(
        self,
        caption: str,
        *,
        choices: Sequence[tuple[str, str]] = (),
        must_be_stated: bool = False,
        help_text: str = "",
        spoken: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.caption, self.reason, self.must_be_stated = caption, "", must_be_stated
        self.locked = False
        self.line = FormLine(tuple((value, retold(words)) for value, words in choices))
        self.box = _Box(self)
        self._words = Words(role="second")
        self._words.hide()
        self._told = ""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.box)
        column.addWidget(self._words)
        column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self.setFocusProxy(self.line)
        self.line.setAccessibleName(spoken or caption)
        self.line.setAccessibleDescription(help_text)
        self.line.help_text = help_text
        self.setToolTip(help_text)
        self.line.entered.connect(self._go_on)
        self.line.left.connect(self._keep)
        self.line.help_asked.connect(lambda: self.note(f"{help_text} {text('help.again')}"))
        self.line.unmatched.connect(self.say)

    def show_text(self, value: str) -> None:
        """Show what is kept; a text that is being typed, or was refused, stays."""
        if self.line.choices:
            value = dict(self.line.choices).get(value, value)
        if self.line.isModified() or (self.reason and self.line.text() == self._told):
            if self.line.text() == value:
                self.line.setModified(False)
            return
        self._told = value
        if self.line.text() != value:
            self.line.setText(value)
        if not self.line.hasFocus():
            self.line.setCursorPosition(0)
        self.box.update()

    def offer(self, choices: Sequence[tuple[str, str]], value: str) -> None:
        """Offer other answers, with one of them chosen."""
        self.line.choices = tuple(choices)
        self.line.setReadOnly(True)
        self.line.setModified(False)
        self.say("")
        self.show_text(value)

    def value(self) -> str:
        """The text, or the word kept for the answer chosen."""
        shown = self.line.text()
        if self.line.choices:
            return next((value for value, words in self.line.choices if words == shown), "")
        return shown.strip()

    def say(self, reason: str) -> None:
        """Why the text is not taken; empty where it is."""
        self.reason = reason
        self._words.setText(reason)
        self._words.setVisible(bool(reason))
        self.line.setAccessibleDescription(reason or self.toolTip())
        self.box.place_line()
        self.box.update()

    def set_locked(self, locked: bool) -> None:
        """A frozen field is underlined only and takes no keys."""
        self.locked = locked
        self.line.setFocusPolicy(Qt.FocusPolicy.NoFocus if locked else Qt.FocusPolicy.StrongFocus)
        self.line.setReadOnly(locked or bool(self.line.choices))
        self.box.update()

    def note(self, words: str) -> None:
        """Say beneath how the text was understood; a reason stands before it."""
        if not self.reason:
            self._words.setText(words)
            self._words.setVisible(bool(words))

    def keep_typed(self) -> None:
        """Keep what is typed without going on."""
        self._keep()

    def _go_on(self) -> None:
        changed = self.line.isModified() or self.line.text() != self._told
        self._keep()
        self.went_on.emit(changed)

    def _keep(self) -> None:
        if not self.line.isModified() and self.line.text() == self._told:
            return
        self.say("")
        self._told = self.line.text()
        # Qt: setting the text ends the line's own undo, so that the next one is the job's (6.11).
        self.line.setText(self._told)
        self.line.setModified(False)
        self.kept.emit(self.value())


class FormBox(QWidget):
    """A group of fields that Enter goes through; after the last one `finished` is told."""

    finished = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: list[FormField] = []

    def forget(self) -> None:
        """Let go of every field: others come."""
        self.fields.clear()

    def adopt(self, field: FormField) -> FormField:
        """Take a field into the order of Enter."""
        self.fields.append(field)
        field.went_on.connect(lambda changed: self._next(field, changed=changed))
        return field

    def _next(self, field: FormField, *, changed: bool) -> None:
        order = [one for one in self.fields if one.isVisible() and not one.locked]
        place = order.index(field) + 1 if field in order else 0
        if field.reason and changed:
            # The reason is read first; Enter once more goes on and leaves it standing.
            return
        if place < len(order):
            order[place].line.setFocus(Qt.FocusReason.TabFocusReason)
        else:
            self.finished.emit()
