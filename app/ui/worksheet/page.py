"""The page for one test of one core. Verbs run through the writer; it redraws from what comes back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.desk.view import Change, View
from app.ui import theme
from app.ui.texts import text
from app.ui.widgets.keybutton import KeyButton
from app.ui.widgets.keyhold import KeyHold
from app.ui.worksheet.body import Body
from app.ui.worksheet.cautions import band_text, cautions_of
from app.ui.worksheet.cursor import Cursor
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.noticing import Noticing
from app.ui.worksheet.page_keys import handle_key
from app.ui.worksheet.parts_strip import PartsStrip
from app.ui.worksheet.pinned import pinned, pins
from app.ui.worksheet.readback import ReadBack
from app.ui.worksheet.sheet import Sheet, sheet
from app.ui.worksheet.status import StatusLine
from app.ui.worksheet.step_lines import step_lines
from app.ui.worksheet.steps import StepsStrip
from app.ui.worksheet.views import views_of
from app.ui.worksheet.views_shown import HOOKUP, ViewsShown
from app.ui.writer import Writer
from app.words import retold

if TYPE_CHECKING:
    from app.desk import Desk

SETS_WIDTH = 216
KEEP_WIDTH = 236
# Below this width one part is shown at a time.
NARROW = 900
LOW = 360
LOWEST = 270
# From which width on a button stands beside the read-back; below it its key alone does the same.
_FROM_WIDTH = {"basis": 1560, "view": 1400, "hookup": 1200, "again": 1000, "remark": 860, "strike": 860}


class WorksheetPage(QWidget):
    """Steps above, caution, method and rows in the middle, plot and findings beside, read-back beneath.

    `corner` stands left of the steps, `left` left of the body; both belong to the window around the page.
    `changed` carries what each verb changed; `place_changed` tells the core and the test that were gone to.
    """

    changed = Signal(object)
    plate_asked = Signal()
    place_changed = Signal(str, str)

    def __init__(
        self,
        desk: Desk,
        writer: Writer,
        *,
        corner: QWidget | None = None,
        left: QWidget | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.desk = desk
        self.writer = writer
        self.view: View | None = None
        self.sheet: Sheet | None = None
        self.curves = CurveStore()
        self.steps = StepsStrip()
        self.parts_strip = PartsStrip()
        self.body = Body()
        self.read_back = ReadBack()
        self.status = StatusLine()
        self.buttons = {
            "strike": KeyButton(text("rows.strike"), text("key.del")),
            "remark": KeyButton(text("rows.remark"), "F4"),
            "hookup": KeyButton(text("rows.hookup"), "F11"),
            "view": KeyButton(text("rows.view"), "Shift+F7"),
            "basis": KeyButton(text("rows.basis"), "Ctrl+Shift+G"),
            "again": KeyButton(text("rows.again"), "Ctrl+U"),
            "keep": KeyButton(text("rows.keep_next"), text("key.enter"), main=True),
        }
        # Qt: a touch on a button that takes no focus gives it to the next parent that does; none may (6.11).
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(text("page.name"))
        self._lay_out(corner, left)
        self.cursor_in_hand: Cursor = Cursor(self)
        self.keys_held = KeyHold(writer, self)
        self.noticing = Noticing(self)
        self.views = ViewsShown(self)
        self._connect()

    # Opening and redrawing

    def open(self, view: View, core_id: str, procedure_id: str, take_number: int | None = None) -> None:
        """Show a test of a core and put the cursor where one goes on; what stands unsaved is saved first."""
        if self.sheet is not None:
            self.cursor_in_hand.save_unsaved()
        self.view = view
        self.cursor_in_hand.forget()
        self._make_sheet(core_id, procedure_id, take_number)
        self._show()
        self.cursor_in_hand.start()
        self.place_changed.emit(core_id, procedure_id)

    def redraw(self, change: Change) -> None:
        """Show what a verb changed; the cursor stays where it is."""
        self.view = change.view
        if self.sheet is None:
            return
        gone = all(
            core.core_id != self.sheet.core.core_id
            for position in change.view.job.positions for ct in position.cts for core in ct.cores
        )  # fmt: skip
        if gone:
            self.sheet = None
            return
        number = self.sheet.take_number if self.sheet.take.rows or self.sheet.take.method.cells else None
        self._make_sheet(self.sheet.core.core_id, self.sheet.procedure.procedure_id, number)
        self._show()

    def show_take(self, take_number: int) -> None:
        """Show another take of the same test."""
        if self.view is not None and self.sheet is not None:
            self.open(self.view, self.sheet.core.core_id, self.sheet.procedure.procedure_id, take_number)

    @property
    def locked(self) -> bool:
        """Whether nothing can be keyed here."""
        return self.view is None or self.view.read_only_reason is not None

    @property
    def decimal_mark(self) -> str:
        """What the decimal key of the numeric pad writes."""
        return "," if self.desk.settings.decimal_comma() else "."

    @property
    def plot(self) -> Any | None:
        """What draws the view beside the table, once it was needed."""
        return self.views.widget

    def switch_view(self) -> None:
        """Show another view of the same readings."""
        self.views.switch()
        self._show()
        self.bring_part("plot" if self.views.row is not None else "readings")

    def choose_part(self, part: str) -> None:
        """On a small screen: go to another part; the plate has a page of its own."""
        if part == "plate":
            self.plate_asked.emit()
        elif part == "readings":
            self.bring_part(part)
            self.cursor_in_hand.start()
        else:
            if part == "plot" and self.views.row is None:
                self.views.switch()
                self._show()
            self.bring_part(part)
            self.parts_strip.focus_open()

    def bring_part(self, part: str) -> None:
        """Show that part where only one has room; elsewhere all of them stay."""
        if self.body.part:
            self.body.show_part(part)
            self.parts_strip.show_open(part, has_plot=self.has_views)
        self._fold_steps()

    def _fold_steps(self) -> None:
        """Where height is short too, the steps give way to a part that is only looked at, then to any."""
        wanted = self.body.part in ("", "readings") or self.height() >= LOW
        self.steps.setVisible(wanted and self.height() >= LOWEST)

    @property
    def has_views(self) -> bool:
        """Whether the readings can be drawn at all."""
        return self.sheet is not None and bool(views_of(self.sheet))

    def show_hookup(self) -> None:
        """Show how the test is wired and go to its landing list; again: back to the readings."""
        self.views.toggle_hookup()
        self._show()
        row, widget = self.views.row, self.views.widget
        if row is not None and row.view_id == HOOKUP and widget is not None:
            self.bring_part("plot")
            widget.focus_list()
            self.body.bring(widget.table)
        else:
            self.cursor_in_hand.focus_first_open()

    def _make_sheet(self, core_id: str, procedure_id: str, take_number: int | None) -> None:
        assert self.view is not None
        self.sheet = sheet(
            self.view, core_id, procedure_id, take_number=take_number, why=self.desk.why_no_number,
            curves=self.curves, before=self.sheet,
        )  # fmt: skip

    def _show(self) -> None:
        assert self.sheet is not None
        shown = self.sheet
        body = self.body
        body.set_has_plot(self.views.row is not None)
        body.caution.show_lines(cautions_of(shown), band_text(shown))
        body.method.show_lines(shown.method, decimal_mark=self.decimal_mark, locked=self.locked)
        body.table.show_sheet(shown)
        self.cursor_in_hand.follow()
        self.show_findings()
        self.noticing.look_soon()
        body.fit_rows()
        self.show_steps()
        self.views.show()
        self.cursor_in_hand.tell_typed()
        self._show_buttons()
        self.status.tell(retold(self.view.read_only_reason or "") if self.view else "")

    def show_findings(self) -> None:
        """Findings of the step, and what was noticed beside them."""
        comments, marked = (pinned(self.sheet), pins(self.sheet)) if self.sheet is not None else ((), ())
        self.body.findings.show_findings(self.cursor_in_hand.findings_now(), self.noticing.notices, comments)
        self.body.table.show_comments({pin.row: pin.is_open for pin in marked})
        self.body.table.rows.show_doubts(self.noticing.doubts)

    def show_steps(self) -> None:
        """Draw the strip of steps again."""
        if self.sheet is not None:
            self.steps.show_lines(step_lines(self.sheet, self.cursor_in_hand.row, locked=self.locked))

    def _show_buttons(self) -> None:
        frozen = text("page.locked") if self.locked else ""
        entered = self.sheet is not None and any(row.entered for row in self.sheet.rows)
        for name, button in self.buttons.items():
            reason = "" if name in ("view", "hookup", "basis") else frozen
            wants_row = name in ("strike", "again") and not entered
            button.set_reason(reason or (text("page.no_row_yet") if wants_row else ""))

    # Parts

    def _lay_out(self, corner: QWidget | None, left: QWidget | None) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        first = 0
        if corner is not None or left is not None:
            first = 1
            grid.setColumnMinimumWidth(0, SETS_WIDTH)
            for row, part in ((0, corner), (1, left)):
                if part is not None:
                    grid.addWidget(part, row, 0)
        head = QVBoxLayout()
        head.setSpacing(0)
        head.addWidget(self.steps)
        head.addWidget(self.parts_strip)
        grid.addLayout(head, 0, first)
        grid.addWidget(self.body, 1, first)
        bar = QWidget()
        row_of_bar = QHBoxLayout(bar)
        row_of_bar.setContentsMargins(0, 2, 8, 2)
        row_of_bar.setSpacing(8)
        row_of_bar.addWidget(self.read_back, 1)
        for button in self.buttons.values():
            row_of_bar.addWidget(button)
        self.buttons["keep"].setMinimumWidth(KEEP_WIDTH)
        self._bar = bar
        grid.addWidget(bar, 2, 0, 1, first + 1)
        grid.addWidget(self.status, 3, 0, 1, first + 1)
        grid.setRowStretch(1, 1)
        grid.setColumnStretch(first, 1)

    def _connect(self) -> None:
        self.writer.saving.connect(self.status.tell_saving)
        self.body.caution.focus_changed.connect(self._name_main_button)
        self.parts_strip.chosen.connect(self.choose_part)
        self.steps.chosen.connect(self.cursor_in_hand.travel.go_to_step)
        self.buttons["keep"].clicked.connect(self.cursor_in_hand.keep_here)
        self.buttons["strike"].clicked.connect(self.cursor_in_hand.ask_strike)
        self.buttons["remark"].clicked.connect(self.cursor_in_hand.ask_remark)
        self.buttons["view"].clicked.connect(self.switch_view)
        self.buttons["hookup"].clicked.connect(self.show_hookup)
        self.buttons["basis"].clicked.connect(self.cursor_in_hand.acts.show_basis)
        self.body.findings.clicked.connect(lambda _index: self.cursor_in_hand.acts.show_basis())
        self.buttons["again"].clicked.connect(self.cursor_in_hand.ask_again)
        theme.current().changed.connect(self._dress)

    def _name_main_button(self, at_caution: bool) -> None:
        self.buttons["keep"].set_words(text("caution.button" if at_caution else "rows.keep_next"))

    def _dress(self) -> None:
        for part in (self.body.method, self.body.table, self.body.hint, self.status):
            part.dress()
        for button in self.buttons.values():
            button.updateGeometry()
        self.update()

    # Qt

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys that no field wanted."""
        if not handle_key(self, event):
            event.ignore()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Ground, the sheet behind the read-back, and the rules between the parts."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("ground"))
        bar = self._bar.geometry()
        painter.fillRect(bar, theme.color("sheet"))
        painter.setPen(theme.color("rule"))
        painter.drawLine(0, bar.top(), self.width(), bar.top())
        painter.drawLine(0, bar.bottom(), self.width(), bar.bottom())
        above = self.parts_strip if self.parts_strip.isVisible() else self.steps
        below = above.geometry().bottom()
        painter.drawLine(0, below + 1, self.width(), below + 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The read-back stays whole: buttons that have a key give way to it on a narrow screen."""
        super().resizeEvent(event)
        narrow = self.width() < NARROW
        if narrow != bool(self.body.part):
            self.body.show_part("readings" if narrow else "")
            self.parts_strip.setVisible(narrow)
        self.parts_strip.show_open(self.body.part, has_plot=self.has_views)
        self._fold_steps()
        for name, least in _FROM_WIDTH.items():
            self.buttons[name].setVisible(self.width() >= least)
        self.buttons["keep"].setMinimumWidth(KEEP_WIDTH if self.width() >= 860 else 0)

    def hideEvent(self, event: QHideEvent) -> None:
        """Keys that wait belong to a page one can see."""
        self.keys_held.drop()
        super().hideEvent(event)
