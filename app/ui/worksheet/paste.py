"""A pasted block is looked at first: what each column was taken for, and which cells are refused and why."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from app.exchange.tsv import Preview
from app.ui import theme
from app.ui.texts import text
from ctcore.quantities import quantity

Index = QModelIndex | QPersistentModelIndex


class PreviewModel(QAbstractTableModel):
    """The block as it was understood; refused cells carry "!" and the reason."""

    def __init__(self, preview: Preview) -> None:
        super().__init__()
        self.preview = preview

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Lines of the block."""
        return 0 if parent.isValid() else len(self.preview.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Columns of the block, and one that names the row."""
        return 0 if parent.isValid() else len(self.preview.columns) + 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Text, weight and reason of a cell."""
        if not index.isValid():
            return None
        row = self.preview.rows[index.row()]
        if index.column() == 0:
            no_row = text("paste.no_row")
            return (row.row or no_row) if role == Qt.ItemDataRole.DisplayRole else None
        cell = row.cells[index.column() - 1]
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{cell.text}  ! {cell.reason}" if cell.refused else cell.text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return (
                text("paste.refused_cell", cell=cell.text, reason=cell.reason) if cell.refused else cell.text
            )
        if role == Qt.ItemDataRole.FontRole and cell.refused:
            return theme.font("value", bold=True)
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """What each column was taken for, and by what."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        if section == 0:
            return text("paste.row")
        column = self.preview.columns[section - 1]
        if column.quantity_id is None:
            return f"{column.heading_text or text('paste.unnamed')}\n{column.reason}"
        taken = quantity(column.quantity_id)
        return f"{taken.heading}, {column.unit}\n{column.reason}"


class PasteDialog(QDialog):
    """Shows a preview; Enter keeps what is not refused, Escape keeps nothing."""

    def __init__(self, parent: QWidget, preview: Preview, kept: Callable[[Preview], None]) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(text("paste.title"))
        self.setModal(True)
        self._kept = kept
        self.preview = preview
        column = QVBoxLayout(self)
        said = QLabel(preview.refusal_text or self._summary(preview))
        said.setFont(theme.font("finding", bold=True))
        said.setWordWrap(True)
        column.addWidget(said)
        self.table = QTableView(self)
        self._model = PreviewModel(preview)
        self.table.setModel(self._model)
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setDefaultSectionSize(theme.density().settled_row)
        self.table.setAccessibleName(text("paste.title"))
        self.table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        column.addWidget(self.table, 1)
        column.addLayout(self._foot(bool(preview.entries())))
        self.resize(720, 480)

    def _summary(self, preview: Preview) -> str:
        return text("paste.summary", count=len(preview.entries()), refused=preview.refused_count)

    def _foot(self, possible: bool) -> QHBoxLayout:
        row = QHBoxLayout()
        cancel, keep = QPushButton(text("ask.cancel")), QPushButton(text("paste.keep"))
        for button in (cancel, keep):
            button.setMinimumHeight(44)
        keep.setDefault(True)
        keep.setEnabled(possible)
        cancel.setAutoDefault(False)
        cancel.clicked.connect(self.reject)
        keep.clicked.connect(self._keep)
        keep.setFocus()
        row.addWidget(cancel)
        row.addStretch(1)
        row.addWidget(keep)
        return row

    def _keep(self) -> None:
        self.accept()
        self._kept(self.preview)
