"""The phases of a set side by side: what was measured, what is judged, plate and certificate."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QHeaderView, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.ui import marks, theme
from app.ui.shell.lines_view import Index
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text
from app.words import verdict_word

if TYPE_CHECKING:
    from app.desk.side_by_side import CompareRow, Comparison

ROW_ROLE: Final = int(Qt.ItemDataRole.UserRole) + 1
VERDICT_ROLE: Final = int(Qt.ItemDataRole.UserRole) + 2
_ROW: Final = 30
# A name of two lines.
_ROW_TALL: Final = 44
_WRAP: Final = int(Qt.TextFlag.TextWordWrap)
NOTHING: Final = "–"
# What stands beside the phases, in this order.
BESIDE: Final = ("limit", "certificate", "previous")


class CompareModel(QAbstractTableModel):
    """A row per quantity; columns: its name, one per phase, limit, certificate, previous."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[CompareRow, ...] = ()
        self._phases: tuple[str, ...] = ()
        self._here = 0
        self._earlier: Mapping[tuple[str, str, str], str] = {}

    def put(
        self, found: Comparison | None, earlier: Mapping[tuple[str, str, str], str] | None = None
    ) -> None:
        """Show another comparison, with figures of the test before where the job names none itself."""
        self.beginResetModel()
        self._earlier = earlier or {}
        self._rows = found.rows if found is not None else ()
        self._phases = found.phases if found is not None else ()
        self._here = found.here if found is not None else 0
        self.endResetModel()

    @property
    def here_column(self) -> int:
        """The column of the phase in hand."""
        return 1 + self._here

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Quantities."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Name, phases, limit, certificate, the test before."""
        return 0 if parent.isValid() or not self._phases else len(self._phases) + 1 + len(BESIDE)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words of a cell; the verdict that stands on a value."""
        if not index.isValid() or not 0 <= index.row() < len(self._rows):
            return None
        row, phase = self._rows[index.row()], index.column() - 1
        of_phase = 0 <= phase < len(self._phases)
        if role == Qt.ItemDataRole.DisplayRole:
            return self._words(row, index.column())
        if role == Qt.ItemDataRole.AccessibleTextRole:
            head = self.headerData(index.column(), Qt.Orientation.Horizontal)
            verdict = row.verdicts[phase] if of_phase else None
            word = verdict_word(verdict) if verdict else ""
            return f"{row.label}, {head}: {self._words(row, index.column())} {word}".strip()
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignLeft if index.column() == 0 else Qt.AlignmentFlag.AlignRight
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.label if index.column() == 0 else None
        if role == VERDICT_ROLE:
            return row.verdicts[phase] if of_phase else None
        return row if role == ROW_ROLE else None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads: phases by name."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < self.columnCount():
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignLeft if section == 0 else Qt.AlignmentFlag.AlignRight
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        heads = ("", *self._phases, *(text(f"review.{name}") for name in BESIDE))
        return heads[section]

    def _words(self, row: CompareRow, column: int) -> str:
        previous = row.previous_text or self._earlier.get(row.key, "")
        beside = (row.limit_text, row.certificate_text, previous)
        return (row.label, *row.values, *(one or NOTHING for one in beside))[column]


class CompareDelegate(QStyledItemDelegate):
    """Values right-aligned; outside as a filled block, refer in a heavy frame, the phase in hand bold."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """One cell."""
        painter.save()
        box = QRectF(option.rect)
        painter.fillRect(box, theme.color("band" if index.row() % 2 else "sheet"))
        verdict = index.data(VERDICT_ROLE)
        model: Any = index.model()
        row: CompareRow = index.data(ROW_ROLE)
        mine = index.column() == model.here_column and row.in_hand
        font = theme.font("value" if index.column() else "finding", bold=mine or verdict == "outside")
        painter.setFont(font)
        ink = theme.color("ink")
        words = str(index.data() or "")
        if verdict == "outside":
            painter.fillRect(box.adjusted(2, 2, -2, -2), ink)
            ink = theme.color("sheet")
        elif verdict == "refer":
            marks.outline(painter, box.adjusted(2, 2, -2, -2), ink)
        painter.setPen(ink)
        left = index.column() == 0
        room = box.adjusted(12 if left else 4, 0, -8, 0)
        side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
        metrics = QFontMetricsF(font)
        if left and metrics.horizontalAdvance(words) > room.width() and box.height() > _ROW:
            painter.drawText(room, int(side | Qt.AlignmentFlag.AlignVCenter) | _WRAP, words)
        else:
            shown = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(room, side | Qt.AlignmentFlag.AlignVCenter, shown)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: ARG002
        """As wide as its words."""
        wide = QFontMetricsF(theme.font("value", bold=True)).horizontalAdvance(str(index.data() or ""))
        return QSize(int(wide) + 20, _ROW)


class CompareTable(RuledTable):
    """The table; it is read, nothing in it is chosen."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setItemDelegate(CompareDelegate(self))
        self.verticalHeader().setDefaultSectionSize(_ROW)
        self.horizontalHeader().setFixedHeight(34)
        self.setAccessibleName(text("review.side_by_side"))

    def fit(self, *, narrow: bool) -> None:
        """Give every column what it wants, the name what is left; on a narrow screen no earlier values."""
        model = self.model()
        count = model.columnCount() if model is not None else 0
        if not count:
            return
        head = self.horizontalHeader()
        for column in range(count):
            fixed = QHeaderView.ResizeMode.Stretch if column == 0 else QHeaderView.ResizeMode.Fixed
            head.setSectionResizeMode(column, fixed)
            if column:
                least, most = (
                    (72, 76 if narrow else 92)
                    if column < count - len(BESIDE)
                    else (92, 96 if narrow else 128)
                )
                self.setColumnWidth(column, min(max(self.wanted(column), least), most))
        for column in (count - 2, count - 1):
            known = any(model.index(row, column).data() != NOTHING for row in range(model.rowCount()))
            self.setColumnHidden(column, narrow or not known)
        # Qt: a hidden column is of no width.
        others = sum(self.columnWidth(column) for column in range(1, count))
        room = self.viewport().width() - others - 20
        metrics = QFontMetricsF(theme.font("finding"))
        names = (str(model.index(row, 0).data() or "") for row in range(model.rowCount()))
        long = any(metrics.horizontalAdvance(one) > room for one in names)
        self.verticalHeader().setDefaultSectionSize(_ROW_TALL if long else _ROW)

    def height_of(self, rows: int) -> int:
        """How tall the table is with so many rows."""
        return 36 + self.verticalHeader().defaultSectionSize() * rows

    def wanted(self, column: int) -> int:
        """What the words of a column want."""
        model = self.model()
        metrics = QFontMetricsF(theme.font("value", bold=True))
        words = [str(model.index(row, column).data() or "") for row in range(model.rowCount())]
        return int(max((metrics.horizontalAdvance(one) for one in words), default=0.0)) + 20
