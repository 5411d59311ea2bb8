"""Keys of the page that no field wanted: between rows, steps, phases and parts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, cast

from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

if TYPE_CHECKING:
    from app.ui.worksheet.page import WorksheetPage

_KEY = Qt.Key
_ALT = Qt.KeyboardModifier.AltModifier
_PAD = Qt.KeyboardModifier.KeypadModifier


@dataclass(frozen=True, slots=True)
class Act:
    """What a key does on the page; its words stand in the text table under `keys.<name>`.

    Acts of one name stand in one line of the page of keys; `in_menu` is what a hand without keys wants too.
    """

    name: str
    key: str
    do: Callable[[WorksheetPage], object]
    in_menu: bool = False


ACTS: Final[tuple[Act, ...]] = (
    Act("enter", "Return", lambda page: page.cursor_in_hand.keep_here()),
    Act("enter", "Enter", lambda page: page.cursor_in_hand.keep_here()),
    Act("arrows", "Up", lambda page: page.cursor_in_hand.travel.go_row(-1)),
    Act("arrows", "Down", lambda page: page.cursor_in_hand.travel.go_row(+1)),
    Act("page", "PgUp", lambda page: page.cursor_in_hand.travel.go_step(-1)),
    Act("page", "PgDown", lambda page: page.cursor_in_hand.travel.go_step(+1)),
    Act("ends", "Home", lambda page: page.cursor_in_hand.travel.go_row(-10_000)),
    Act("ends", "End", lambda page: page.cursor_in_hand.travel.go_row(+10_000)),
    Act("take", "Ctrl+PgUp", lambda page: page.cursor_in_hand.travel.go_take(-1), in_menu=True),
    Act("take", "Ctrl+PgDown", lambda page: page.cursor_in_hand.travel.go_take(+1)),
    Act("sister", "Alt+Left", lambda page: page.cursor_in_hand.travel.go_sister(-1)),
    Act("sister", "Alt+Right", lambda page: page.cursor_in_hand.travel.go_sister(+1), in_menu=True),
    Act("delete", "Del", lambda page: page.cursor_in_hand.ask_strike(), in_menu=True),
    Act("f2", "F2", lambda page: page.cursor_in_hand.change_value(), in_menu=True),
    Act("f4", "F4", lambda page: page.cursor_in_hand.ask_remark(), in_menu=True),
    Act("f5", "F5", lambda page: page.cursor_in_hand.reopen_caution(), in_menu=True),
    Act("f6", "F6", lambda page: page.cursor_in_hand.next_part()),
    Act("f7", "F7", lambda page: page.cursor_in_hand.enlarge_knee(), in_menu=True),
    Act("f11", "F11", lambda page: page.show_hookup(), in_menu=True),
    Act("f12", "F12", lambda page: page.cursor_in_hand.travel.go_step(+1), in_menu=True),
    Act("view", "Shift+F7", lambda page: page.switch_view(), in_menu=True),
    Act("again", "Ctrl+U", lambda page: page.cursor_in_hand.ask_again(), in_menu=True),
    Act("instrument", "Ctrl+M", lambda page: page.cursor_in_hand.ask_instrument(), in_menu=True),
    Act("finding", "Ctrl+G", lambda page: page.cursor_in_hand.next_finding(), in_menu=True),
    Act("basis", "Ctrl+Shift+G", lambda page: page.cursor_in_hand.acts.show_basis(), in_menu=True),
    Act("offer", "Ctrl+K", lambda page: page.cursor_in_hand.acts.take_offer(), in_menu=True),
    Act("paste", "Ctrl+V", lambda page: page.cursor_in_hand.blocks.paste(), in_menu=True),
    Act("undo", "Ctrl+Z", lambda page: page.cursor_in_hand.undo()),
    Act("redo", "Ctrl+Y", lambda page: page.cursor_in_hand.redo()),
)
# Qt: a sequence of keys can be indexed, which its description for the types does not say (6.11).
_BY_KEY: Final[dict[int, Act]] = {cast(Any, QKeySequence(act.key))[0].toCombined(): act for act in ACTS}


def handle_key(page: WorksheetPage, event: QKeyEvent) -> bool:
    """Do what a key asks for; False where it asks for nothing here."""
    if page.sheet is None:
        return False
    act = _BY_KEY.get(_combination(event))
    if act is not None:
        act.do(page)
        return True
    if event.modifiers() & _ALT and _KEY.Key_1 <= event.key() <= _KEY.Key_9:
        page.cursor_in_hand.travel.go_to_number(event.key() - _KEY.Key_0)
        return True
    return False


def _combination(event: QKeyEvent) -> int:
    modifiers = event.modifiers() & ~_PAD
    return QKeyCombination(modifiers, Qt.Key(event.key())).toCombined()
