"""What was done, act by act, as a table model: fewer lines as letters are typed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, Qt

from app.ui.models.filtered import FilteredLines
from app.ui.texts import text
from app.words import retold

if TYPE_CHECKING:
    from app.desk.trail import TrailLine

Index = QModelIndex | QPersistentModelIndex
COLUMNS: Final = ("when", "who", "what", "where", "from", "to", "device")


def cells_of(line: TrailLine) -> tuple[str, ...]:
    """The cells of one act, in the order of the columns."""
    device = f"{line.device_id[:8]} · {line.n}"
    return (
        retold(line.when_text),
        line.who_text,
        retold(line.what_text),
        retold(line.where_text),
        retold(line.from_text),
        retold(line.to_text),
        device,
    )


class TrailModel(FilteredLines["TrailLine"]):
    """Acts, the latest first."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._all: tuple[TrailLine, ...] = ()
        self._searched: list[str] = []
        self._shown: list[TrailLine] = []
        self._letters = ""

    @property
    def act_count(self) -> int:
        """How many acts there are, shown or not."""
        return len(self._all)

    def put(self, lines: Sequence[TrailLine]) -> None:
        """Show another trail; what was typed still cuts it down."""
        self._all = tuple(reversed(lines))
        told = [(*cells_of(line), retold(line.note_text)) for line in self._all]
        self._searched = [" ".join(words).casefold() for words in told]
        self._fill()

    def search(self, letters: str) -> None:
        """Keep the acts that hold every word typed."""
        self._letters = letters
        self._fill()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Acts shown."""
        return 0 if parent.isValid() else len(self._shown)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """When, who, what, where, from, to, device."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words of a cell."""
        if not index.isValid() or not 0 <= index.row() < len(self._shown):
            return None
        words = cells_of(self._shown[index.row()])[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return words
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{text(f'trail.{COLUMNS[index.column()]}')}: {words}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text(f"trail.{COLUMNS[section]}")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        return None
