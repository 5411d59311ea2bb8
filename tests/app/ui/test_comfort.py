"""What eyes, gloves and screen readers meet on every page: contrast, targets, focus, names."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QImage
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QHeaderView,
    QLineEdit,
    QWidget,
)

import app.ui
from app.ui import theme
from app.ui.pages.keys import KeysPage
from app.ui.shell.lettering import Line, Words
from app.ui.window import PAGES
from tests.app.ui.desk_of_window import OpenHand

PAGE_IDS = ("jobs", *PAGES)
SOURCES = sorted(Path(app.ui.__file__).parent.rglob("*.py"))
# A target for a finger, and one for a glove. Source: 44 px by WCAG 2.2, 2.5.5 (from memory); 72 px our own.
TARGET_PX, MAIN_PX = 44, 72


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, tmp_path)
    made.window.resize(1366, 768)
    yield made
    made.close()


def opened(hand, page_id: str) -> QWidget:
    # A record and its years have no verb of their own: they are reached from what was found in the archive.
    show = hand.window.show_page if page_id in ("filed", "years") else hand.window.deeds.do
    show(page_id)
    hand.rest()
    hand.window.activateWindow()
    QApplication.processEvents()
    return hand.window


def visible(window: QWidget, kind: type) -> list[QWidget]:
    return [one for one in window.findChildren(kind) if one.isVisible() and one.width() > 0]


def luminances(picture: QImage) -> np.ndarray:
    """Relative luminance of every pixel. Source: WCAG 2.2, definition of relative luminance (from memory)."""
    shown = picture.convertToFormat(QImage.Format.Format_RGB32)
    raw = (
        np.frombuffer(shown.constBits(), np.uint8).reshape(shown.height(), shown.width(), 4)[:, :, 2::-1]
        / 255
    )
    linear = np.where(raw <= 0.04045, raw / 12.92, ((raw + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


def drawn_contrast(widget: QWidget) -> float:
    """Contrast between the commonest colour of a widget as it is drawn and the one farthest from it."""
    window = widget.window()
    box = widget.rect().translated(widget.mapTo(window, widget.rect().topLeft()))
    found = luminances(window.grab(box).toImage()).round(4)
    values, counts = np.unique(found, return_counts=True)
    ground = values[counts.argmax()]
    return max((max(v, ground) + 0.05) / (min(v, ground) + 0.05) for v in (found.min(), found.max()))


@pytest.mark.parametrize("page_id", PAGE_IDS)
@pytest.mark.parametrize("palette", ["day", "night"])
def test_every_text_is_drawn_with_seven_to_one(hand, qapp, palette, page_id):
    theme.apply(qapp, palette)
    window = opened(hand, page_id)
    words = [one for kind in (Line, Words) for one in visible(window, kind) if _text(one).strip()]
    lines = [one for one in visible(window, QLineEdit) if one.text() or one.placeholderText()]
    buttons = [one for one in visible(window, QAbstractButton) if one.isEnabled()]
    shown = [one for one in (*words, *lines, *buttons) if not one.visibleRegion().isEmpty()]
    faint = {(type(one).__name__, _text(one)): drawn_contrast(one) for one in shown[::3]}
    assert {name: ratio for name, ratio in faint.items() if ratio < 7.0} == {}


def _text(widget: QWidget) -> str:
    said = widget.text
    return said if isinstance(said, str) else said()


@pytest.mark.parametrize("page_id", PAGE_IDS)
def test_every_button_has_room_for_a_finger(hand, page_id):
    window = opened(hand, page_id)
    small = {
        one.accessibleName(): (one.width(), one.height())
        for one in visible(window, QAbstractButton)
        if one.width() < TARGET_PX or one.height() < TARGET_PX
    }
    assert small == {}


def test_main_buttons_have_room_for_a_glove():
    densities = [theme.DENSITIES[name].main_button for name in ("field", "gloves")]
    assert min(densities) >= MAIN_PX


@pytest.mark.parametrize("page_id", PAGE_IDS)
def test_whoever_has_the_focus_looks_different(hand, page_id):
    window = opened(hand, page_id)
    by_kind = {
        type(one): one
        for one in visible(window, QWidget)
        if one.focusPolicy() & Qt.FocusPolicy.TabFocus
        and one.isEnabled()
        and not one.visibleRegion().isEmpty()
    }
    unseen = [kind.__name__ for kind, one in by_kind.items() if not _changes_with_focus(window, one)]
    assert by_kind
    assert unseen == []


def _changes_with_focus(window: QWidget, one: QWidget) -> bool:
    one.setFocus(Qt.FocusReason.TabFocusReason)
    QApplication.processEvents()
    with_focus = window.grab().toImage()
    one.clearFocus()
    QApplication.processEvents()
    return one.window() is not window or with_focus != window.grab().toImage()


@pytest.mark.parametrize("page_id", PAGE_IDS)
def test_everything_a_screen_reader_meets_has_name_and_role(hand, page_id):
    window = opened(hand, page_id)
    roles = {
        QAbstractButton: QAccessible.Role.Button,
        QLineEdit: QAccessible.Role.EditableText,
        QAbstractItemView: QAccessible.Role.Table,
    }
    reached = [
        one
        for one in visible(window, QWidget)
        if (one.focusPolicy() & Qt.FocusPolicy.TabFocus or isinstance(one, tuple(roles)))
        and not isinstance(one, QHeaderView)
    ]
    told = [(one, QAccessible.queryAccessibleInterface(one)) for one in reached]
    nameless = [type(one).__name__ for one, said in told if not said.text(QAccessible.Text.Name).strip()]
    strange = [
        (type(one).__name__, said.role().name)
        for one, said in told
        for kind, role in roles.items()
        if isinstance(one, kind) and said.role() not in (role, QAccessible.Role.List)
    ]
    assert (nameless, strange) == ([], [])


def test_a_button_that_cannot_be_pressed_says_why_to_a_screen_reader(hand):
    window = opened(hand, "worksheet")
    closed = [one for one in visible(window, QAbstractButton) if not one.isEnabled()]
    assert [one.accessibleName() for one in closed if not one.accessibleDescription()] == []


@pytest.mark.parametrize(
    "hidden",
    ["mouseDoubleClickEvent", "doubleClicked", "contextMenuEvent", "customContextMenuRequested",
     "setDragEnabled(True)", "dragEnterEvent", "enterEvent", "hoverMoveEvent", "RightButton"],
)  # fmt: skip
def test_nothing_is_done_by_double_click_right_click_hover_or_drag(hidden):
    assert [path.name for path in SOURCES if hidden in path.read_text(encoding="utf-8")] == []


@pytest.mark.parametrize("size", [(683, 384), (800, 600), (640, 480)])
@pytest.mark.parametrize("page_id", PAGE_IDS)
def test_no_page_is_wider_than_a_small_screen(hand, page_id, size):
    hand.window.resize(*size)
    window = opened(hand, page_id)
    page = window.front
    over = [
        (type(one).__name__, one.accessibleName())
        for one in visible(page, QAbstractButton)
        if one.mapTo(window, one.rect().topRight()).x() > window.width()
    ]
    assert (window.width(), window.height()) == size
    assert page.width() <= window.width()
    assert over == []


def test_the_page_of_keys_is_the_one_that_f1_opens(hand):
    hand.press(Qt.Key.Key_F1)
    assert isinstance(hand.window.front, KeysPage)
