"""The view beside the table: made when first wanted, and another one at a key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject

from app.ui.worksheet.views import ViewRow, views_of

if TYPE_CHECKING:
    from app.ui.worksheet.page import WorksheetPage


class ViewsShown(QObject):
    """Remembers for each test which view was asked for, and keeps one widget for each kind of view."""

    def __init__(self, page: WorksheetPage) -> None:
        super().__init__(page)
        self._page = page
        self._asked: dict[str, str] = {}
        self._widgets: dict[str, Any] = {}

    @property
    def row(self) -> ViewRow | None:
        """The view in force of the test on the page; None where the table has the width for itself."""
        sheet = self._page.sheet
        if sheet is None:
            return None
        rows = views_of(sheet)
        asked = self._asked.get(sheet.procedure.procedure_id)
        if asked is not None:
            return next((row for row in rows if row.view_id == asked), None)
        return next((row for row in rows if row.opens_by_itself), None)

    @property
    def widget(self) -> Any | None:
        """What draws the view in force, once it was shown."""
        row = self.row
        return None if row is None else self._widgets.get(row.kind)

    def switch(self) -> None:
        """Go to the next view; after the last one to none, unless the test opens with one."""
        sheet = self._page.sheet
        if sheet is None:
            return
        rows = views_of(sheet)
        order = [row.view_id for row in rows]
        if not any(row.opens_by_itself for row in rows):
            order = ["", *order]
        here = self.row.view_id if self.row else ""
        at = order.index(here) if here in order else -1
        self._asked[sheet.procedure.procedure_id] = order[(at + 1) % len(order)]

    def show(self) -> None:
        """Draw the view in force."""
        row, sheet = self.row, self._page.sheet
        for kind, widget in self._widgets.items():
            widget.setVisible(row is not None and kind == row.kind)
        if row is None or sheet is None:
            return
        content = row.make(sheet, self._page.curves)
        if row.kind not in self._widgets:
            made = _widget(row.kind, content)
            made.picked.connect(self._page.cursor_in_hand.travel.choose_row)
            self._widgets[row.kind] = made
            self._page.body.plot_place.hold(made)
        self._widgets[row.kind].show_content(content)

    def show_keyed(self, point: tuple[float, float] | None) -> None:
        """Ring the point (volts, amperes) that is being keyed, where the view is the curve itself."""
        row = self.row
        if row is not None and row.kind in self._widgets:
            self._widgets[row.kind].show_keyed(point if row.view_id == "curve" else None)

    def toggle_enlarged(self) -> None:
        """The knee fills the plot, or goes back to its corner."""
        if self.widget is not None:
            self.widget.toggle_enlarged()


def _widget(kind: str, content: Any) -> Any:
    if kind == "curve":
        from app.ui.plots.excitation import ExcitationPlot

        return ExcitationPlot()
    if kind == "chart":
        from app.ui.plots.chart import Chart

        return Chart(content)
    from app.ui.plots.limits import LimitLines

    return LimitLines(content)
