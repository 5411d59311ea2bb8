"""The list of jobs as a table model: a line per job, fewer as letters are typed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, Qt

from app.ui.models.filtered import FilteredLines
from app.ui.texts import text
from app.words import verdict_word

if TYPE_CHECKING:
    from app.jobstore import JobLine

Index = QModelIndex | QPersistentModelIndex
COLUMNS: Final = ("number", "title", "site", "cores", "state", "worst", "changed")
VERDICT_COLUMN: Final = COLUMNS.index("worst")
MARK_ROLE: Final = int(Qt.ItemDataRole.UserRole)


def local_time_text(at_utc: str) -> str:
    """A moment of the record in the time of this computer, to the minute."""
    return datetime.fromisoformat(at_utc).astimezone().strftime("%Y-%m-%d %H:%M")


class JobsModel(FilteredLines["JobLine"]):
    """Lines of the list of jobs, in the order given."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._all: tuple[JobLine, ...] = ()
        self._searched: list[str] = []
        self._shown: list[JobLine] = []
        self._letters = ""
        self._sent: dict[str, str] = {}

    @property
    def letters(self) -> str:
        """What the list is cut down by."""
        return self._letters

    @property
    def job_count(self) -> int:
        """How many jobs there are, shown or not."""
        return len(self._all)

    def put(self, lines: Sequence[JobLine]) -> None:
        """Show another list; what was typed still cuts it down."""
        self._all = tuple(lines)
        self._searched = [
            " ".join(
                (line.number_text, line.title_text, line.site_text, text(f"state.{line.state}"))
            ).casefold()
            for line in self._all
        ]
        self._fill()

    def put_sent(self, words: dict[str, str]) -> None:
        """Say of issued jobs where they stand with the archive."""
        if words != self._sent:
            self._sent = words
            self._fill()

    def search(self, letters: str) -> None:
        """Keep the lines that hold every word typed, in number, title, site or state."""
        self._letters = letters
        self._fill()

    def row_of(self, job_id: str) -> int:
        """The row of a job; -1 where it is not shown."""
        return next((row for row, line in enumerate(self._shown) if line.job_id == job_id), -1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Lines shown."""
        return 0 if parent.isValid() else len(self._shown)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Number, title, site, cores, state, verdict, changed."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell; the verdict's mark; words for a screen reader."""
        if not index.isValid() or index.row() >= len(self._shown):
            return None
        line, column = self._shown[index.row()], COLUMNS[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(line, column)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{text(f'jobs.{column}')}: {self._text(line, column)}"
        if role == MARK_ROLE and column == "worst":
            return line.worst
        if role == Qt.ItemDataRole.TextAlignmentRole and column == "cores":
            return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return text(f"jobs.{COLUMNS[section]}")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if COLUMNS[section] == "cores" else Qt.AlignmentFlag.AlignLeft
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        return None

    def _text(self, line: JobLine, column: str) -> str:
        if column == "cores":
            return str(line.core_count)
        if column == "state":
            return (self._sent.get(line.job_id) if line.state == "issued" else None) or text(
                f"state.{line.state}"
            )
        if column == "worst":
            return verdict_word(line.worst)
        if column == "changed":
            return local_time_text(line.changed_at_utc)
        return {"number": line.number_text, "title": line.title_text, "site": line.site_text}[column]
