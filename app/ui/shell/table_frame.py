"""What a page of one table is made of: heading and words above, the table, its acts along the lower edge."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final, Generic, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHeaderView, QVBoxLayout, QWidget

from app.ui.models.lines import LinesModel
from app.ui.shell.foot import Act, Foot
from app.ui.shell.lettering import Line, Panel, WholeWords, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

# A screen of 768 lines at 200 %: what the page is for gives way to where things stand.
_LOW: Final = 420
# No column takes more of a narrow page than this.
_MOST_SHARE: Final = 0.45
_USUAL_WIDTH: Final = 200

Row = TypeVar("Row")


class TableFrame(QWidget, Generic[Row]):
    """Fills a page. Its texts stand under the id of the page; Enter on a line does the last of the acts.

    `words` are what the page says above the table; one without a word gives its room away. A column of
    `gives_way` is hidden where the page is narrower than that.
    """

    def __init__(
        self,
        page: QWidget,
        page_id: str,
        model: LinesModel[Row],
        acts: Sequence[Act],
        *,
        words: Sequence[Words | Line],
        widths: Mapping[str, int],
        stretched: str,
        gives_way: Mapping[str, int],
    ) -> None:
        super().__init__(page)
        self.model, self._words, self._widths, self._gives_way = model, words, widths, gives_way
        self.heading = Line(text(f"{page_id}.heading"), role="heading", bold=True)
        self.intro = WholeWords(text(f"{page_id}.intro"))
        self.table = RuledTable()
        self.table.setAccessibleName(self.heading.text)
        self.table.setModel(model)
        self.table.chosen.connect(lambda _row: acts[-1][2]())
        self.table.horizontalHeader().setSectionResizeMode(
            model.columns.index(stretched), QHeaderView.ResizeMode.Stretch
        )
        self.foot = Foot(page_id, acts)
        self._lay_out(page)

    @property
    def in_hand(self) -> Row | None:
        """The line in hand."""
        return self.model.line(self.table.currentIndex().row())

    def put(self, lines: Iterable[Row]) -> None:
        """Show these lines; the row in hand stays in hand."""
        row = max(self.table.currentIndex().row(), 0)
        self.model.show_lines(lines)
        self.table.setCurrentIndex(self.model.index(min(row, max(self.model.rowCount() - 1, 0)), 0))

    def tell(self, words: Words | Line, said: str) -> None:
        """Say something above the table; nothing takes no room."""
        if isinstance(words, Line):
            words.set_text(said)
        else:
            words.setText(said)
        words.setVisible(bool(said))

    def first_focus(self) -> None:
        """The table."""
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Table, buttons."""
        first = next(iter(self.foot.buttons.values()))
        return [Part(self.table, self.table.setFocus), Part(self.foot, first.setFocus)]

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a small screen heading, purpose and the columns that can be missed give way."""
        super().resizeEvent(event)
        for words in (self.heading, self.intro):
            words.setVisible(self.height() >= _LOW)
        for at, name in enumerate(self.model.columns):
            self.table.setColumnHidden(at, self.width() < self._gives_way.get(name, 0))
            wide = self._widths.get(name, _USUAL_WIDTH)
            self.table.setColumnWidth(at, min(wide, round(_MOST_SHARE * self.width())))

    def _lay_out(self, page: QWidget) -> None:
        head = Panel("sheet")
        column = QVBoxLayout(head)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(6)
        for above in (self.heading, self.intro, *self._words):
            column.addWidget(above)
        for words in self._words:
            words.hide()
        whole, around = QVBoxLayout(self), QVBoxLayout(page)
        for layout in (whole, around):
            layout.setContentsMargins(0, 0, 0, 0)
            layout.setSpacing(0)
        whole.addWidget(head)
        whole.addWidget(self.table, 1)
        whole.addWidget(self.foot)
        around.addWidget(self)
