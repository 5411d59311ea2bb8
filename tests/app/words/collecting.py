"""What stands on the screen: every text of every visible widget, of every model behind a view, and every text
that is painted."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QWidget,
)  # fmt: skip

_ROLES: Final = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole)
_MOST_ROWS: Final = 40
_WORD: Final = re.compile(r"[^\W\d_]{3,}")


@contextmanager
def painted() -> Iterator[list[str]]:
    """Every text that Python code gives a painter until the end."""
    found: list[str] = []
    plain = QPainter.drawText

    def draw(self: QPainter, *given: Any) -> Any:
        found.extend(one for one in given if isinstance(one, str))
        return plain(self, *given)

    QPainter.drawText = draw
    try:
        yield found
    finally:
        QPainter.drawText = plain


def shown() -> Iterator[str]:
    """The texts of all windows that stand open, dialogs and menus with them."""
    for window in QApplication.topLevelWidgets():
        if window.isVisible():
            yield window.windowTitle()
            yield from _of(window)
            for child in window.findChildren(QWidget):
                if child.isVisible():
                    yield from _of(child)


def _of(widget: QWidget) -> Iterator[str]:
    yield from (widget.accessibleName(), widget.accessibleDescription(), widget.toolTip())
    # A class of ours may name something else its text.
    if isinstance(widget, QLabel):
        yield QLabel.text(widget)
    elif isinstance(widget, QAbstractButton):
        yield QAbstractButton.text(widget)
    elif isinstance(widget, QLineEdit):
        yield widget.placeholderText()
    elif isinstance(widget, QPlainTextEdit):
        return
    elif isinstance(widget, QMenu):
        yield from (action.text() for action in widget.actions())
    elif isinstance(widget, QAbstractItemView) and widget.model() is not None:
        yield from _of_model(widget.model())


def _of_model(model: QAbstractItemModel) -> Iterator[str]:
    # Qt: a model of a list has one column and keeps the count to itself (6.11).
    columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(QModelIndex())
    rows = min(model.rowCount(QModelIndex()), _MOST_ROWS)
    for column in range(columns):
        yield str(model.headerData(column, Qt.Orientation.Horizontal) or "")
        for row in range(rows):
            for role in _ROLES:
                said = model.index(row, column).data(role)
                if isinstance(said, str):
                    yield said


def words_in(said: str) -> list[str]:
    """Words of three letters and more; figures and symbols of units are none."""
    return _WORD.findall(said)
