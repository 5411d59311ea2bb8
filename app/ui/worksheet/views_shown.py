"""The view beside the table: made when first wanted, and another one at a key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject

from app.ui.worksheet.views import ViewRow, views_of

if TYPE_CHECKING:
    from app.ui.worksheet.page import WorksheetPage

HOOKUP: Final = "hookup"


class ViewsShown(QObject):
    """Remembers for each test which view was asked for, and keeps one widget for each kind of view."""

    def __init__(self, page: WorksheetPage) -> None:
        super().__init__(page)
        self._page = page
        self._asked: dict[str, str] = {}
        self._before: dict[str, str] = {}
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
        # The hook-up has a key of its own.
        rows = [row for row in views_of(sheet) if row.view_id != HOOKUP]
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
            self._page.body.fit_view(0, is_alone=False)
            return
        content = row.content(sheet, self._page.curves)
        if row.kind not in self._widgets:
            made = _widget(row.kind, content)
            made.picked.connect(self._page.cursor_in_hand.travel.choose_row)
            if row.kind == "hookup":
                made.ticked.connect(self._page.cursor_in_hand.acts.tick_lead)
                made.left.connect(self._page.cursor_in_hand.focus_first_open)
            self._widgets[row.kind] = made
            self._page.body.plot_place.hold(made)
        self._widgets[row.kind].show_content(content)
        is_alone = row.kind == HOOKUP
        least_px = self._widgets[row.kind].minimumSizeHint().height() if is_alone else 0
        self._page.body.fit_view(least_px, is_alone=is_alone)

    def toggle_hookup(self) -> None:
        """Show the hook-up, or go back to the view that was there before it."""
        sheet = self._page.sheet
        if sheet is None or not any(row.view_id == HOOKUP for row in views_of(sheet)):
            return
        procedure_id = sheet.procedure.procedure_id
        if self.row is not None and self.row.view_id == HOOKUP:
            self._asked[procedure_id] = self._before.pop(procedure_id, "")
        else:
            self._before[procedure_id] = self.row.view_id if self.row is not None else ""
            self._asked[procedure_id] = HOOKUP

    def show_keyed(self, point: tuple[float, float] | None) -> None:
        """Ring the point (volts, amperes) that is being keyed, where the view is the curve itself."""
        row = self.row
        if row is not None and row.kind in self._widgets:
            self._widgets[row.kind].show_keyed(point if row.view_id == "curve" else None)
            if row.kind == "chart":
                self._widgets[row.kind].show_row(self._page.cursor_in_hand.row)

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
    if kind == HOOKUP:
        from app.ui.hookup.panel import HookupPanel

        return HookupPanel(content)
    from app.ui.plots.limits import LimitLines

    return LimitLines(content)
