"""Keys of the page that no field wanted: between rows, steps, phases and parts."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QKeyEvent

if TYPE_CHECKING:
    from app.ui.worksheet.page import WorksheetPage

_KEY = Qt.Key
_CONTROL = Qt.KeyboardModifier.ControlModifier
_SHIFT = Qt.KeyboardModifier.ShiftModifier
_ALT = Qt.KeyboardModifier.AltModifier
_PAD = Qt.KeyboardModifier.KeypadModifier


def handle_key(page: WorksheetPage, event: QKeyEvent) -> bool:
    """Do what a key asks for; False where it asks for nothing here."""
    if page.sheet is None:
        return False
    act = _table(page).get(_combination(event))
    if act is None and event.modifiers() & _ALT and _KEY.Key_1 <= event.key() <= _KEY.Key_9:
        page.cursor_in_hand.travel.go_to_number(event.key() - _KEY.Key_0)
        return True
    if act is None:
        return False
    act()
    return True


def _combination(event: QKeyEvent) -> int:
    modifiers = event.modifiers() & ~_PAD
    return QKeyCombination(modifiers, Qt.Key(event.key())).toCombined()


def _of(key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> int:
    return QKeyCombination(modifier, key).toCombined()


def _table(page: WorksheetPage) -> dict[int, Callable[[], object]]:
    cursor = page.cursor_in_hand
    travel = cursor.travel
    return {
        _of(_KEY.Key_Up): lambda: travel.go_row(-1),
        _of(_KEY.Key_Down): lambda: travel.go_row(+1),
        _of(_KEY.Key_Home): lambda: travel.go_row(-10_000),
        _of(_KEY.Key_End): lambda: travel.go_row(+10_000),
        _of(_KEY.Key_PageUp): lambda: travel.go_step(-1),
        _of(_KEY.Key_PageDown): lambda: travel.go_step(+1),
        _of(_KEY.Key_PageUp, _CONTROL): lambda: travel.go_take(-1),
        _of(_KEY.Key_PageDown, _CONTROL): lambda: travel.go_take(+1),
        _of(_KEY.Key_F12): lambda: travel.go_step(+1),
        _of(_KEY.Key_Left, _ALT): lambda: travel.go_sister(-1),
        _of(_KEY.Key_Right, _ALT): lambda: travel.go_sister(+1),
        _of(_KEY.Key_Delete): cursor.ask_strike,
        _of(_KEY.Key_F2): cursor.change_value,
        _of(_KEY.Key_F4): cursor.ask_remark,
        _of(_KEY.Key_F5): cursor.reopen_caution,
        _of(_KEY.Key_F6): cursor.next_part,
        _of(_KEY.Key_F7): cursor.enlarge_knee,
        _of(_KEY.Key_F11): page.show_hookup,
        _of(_KEY.Key_L, _CONTROL): page.switch_view,
        _of(_KEY.Key_U, _CONTROL): cursor.ask_again,
        _of(_KEY.Key_M, _CONTROL): cursor.ask_instrument,
        _of(_KEY.Key_G, _CONTROL): cursor.next_finding,
        _of(_KEY.Key_G, _CONTROL | _SHIFT): cursor.acts.show_basis,
        _of(_KEY.Key_K, _CONTROL): cursor.acts.take_offer,
        _of(_KEY.Key_V, _CONTROL): cursor.blocks.paste,
        _of(_KEY.Key_Z, _CONTROL): cursor.undo,
        _of(_KEY.Key_Y, _CONTROL): cursor.redo,
        _of(_KEY.Key_Return): cursor.keep_here,
        _of(_KEY.Key_Enter): cursor.keep_here,
    }
