"""The registers of the office: people, instruments, limit sets, templates. A field is kept as it is left."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QHeaderView, QVBoxLayout, QWidget

from app.desk.registers import KINDS, Kind, Registers, id_of
from app.ui.archive import entry_form
from app.ui.archive.tucked import Tucked
from app.ui.dialogs.path import PathDialog
from app.ui.dialogs.reason import ReasonDialog
from app.ui.models.registers import RegisterModel
from app.ui.pages.people import Ask
from app.ui.shell.fields import FormBox, FormField
from app.ui.shell.foot import Foot
from app.ui.shell.lettering import Line, Panel, Words
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.shell.scroll import Scroll
from app.ui.shell.tab_button import TabButton
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change, Desk
    from app.desk.registers import Entry, Incoming
    from app.report.plain_tables import PlainTable
    from app.ui.window import MainWindow

_WIDTHS: Final = {"name": 240, "what": 200, "until": 200}
_NARROW: Final = 1000


class RegistersPage(QWidget):
    """Kinds as tabs, entries at the left, the fields of the entry in hand at the right."""

    page_id = "registers"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.kind: Kind = "people"
        self.registers = Registers()
        self._asked: tuple[tuple[str, ...], ...] = ()
        self.tabs = {kind: TabButton(text(f"register.{kind}"), is_open=False) for kind in KINDS}
        self.model = RegisterModel(self)
        self.table = RuledTable()
        self.table.setModel(self.model)
        self.table.chosen.connect(lambda _row: self._go_to_form())
        self.table.selectionModel().currentRowChanged.connect(lambda *_: self._fill())
        self.form = FormBox()
        self.form.finished.connect(self.table.setFocus)
        self.fields: dict[str, FormField] = {}
        self.notices = Words(role="value", bold=True)
        self.foot = Foot(
            "register.button",
            (
                ("others", "Alt+Z", lambda: None),
                ("print", "Alt+P", lambda: self._window.deeds.do("print_list")),
                ("write", "Alt+W", self.write_out),
                ("take", "Alt+T", self.take_in),
                ("out", "Alt+D", self.take_out),
                ("limits", "Alt+L", self.show_limits),
                ("add", "Alt+A", self.add),
                ("use", "Alt+J", self.use),
            ),
        )
        self._tucked = Tucked(self.foot, ("print", "write", "take", "out"))
        self._lay_out()

    def show_change(self, _change: Change) -> None:
        """Another job may lie on the table now."""
        self._allow()

    def first_focus(self) -> None:
        """Read the registers; the entries."""
        self._window.session.fetch(lambda desk: desk.registers(), done=self._put, refused=self._say)
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts(self) -> list[Part]:
        """Kinds, entries, fields, buttons."""
        return [
            Part(self._tab_bar, self.tabs[self.kind].setFocus),
            Part(self.table, self.table.setFocus),
            Part(self.form, self._go_to_form),
            Part(self.foot, self.foot.buttons["add"].setFocus),
        ]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def show_kind(self, kind: Kind) -> None:
        """Another of the four lists."""
        self.kind = kind
        self._put(self.registers)
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    # Acts

    def add(self) -> None:
        """Ask for the name of a new entry; the rest is filled in beside the list."""
        dialog = ReasonDialog(
            text(f"register.add_{self.kind}"),
            text("register.add_intro"),
            main=text("register.add_main"),
            caption=text("register.name_text"),
            parent=self._window,
        )

        def keep(name: str) -> None:
            made = entry_form.new_entry(self.kind, name)

            def kept(registers: Registers) -> None:
                dialog.accept()
                self._put(registers, in_hand=id_of(made))
                self._go_to_form()

            self._window.session.fetch(lambda desk: desk.register(made), done=kept, refused=dialog.say)

        dialog.given.connect(keep)
        dialog.open()

    def take_out(self) -> None:
        """Take the entry in hand out, after its name was said once more."""
        entry = self.in_hand()
        if entry is None:
            return
        kind, number = self.kind, id_of(entry)
        from app.ui.dialogs.frame import DialogFrame

        dialog = DialogFrame(
            text("register.out_heading", name=entry.name_text),
            main=text("register.out_main"),
            intro=text("register.out_intro"),
            parent=self._window,
        )

        def gone(registers: Registers) -> None:
            dialog.accept()
            self._put(registers)

        dialog.confirmed.connect(
            lambda: self._window.session.fetch(
                lambda desk: desk.unregister(kind, number), done=gone, refused=dialog.say
            )
        )
        dialog.open()

    def use(self) -> None:
        """Name the entry in the job on the table, or start a job from a template."""
        entry = self.in_hand()
        if entry is None:
            return
        if self.kind == "templates":
            from app.ui.dialogs.new_job import NewJobDialog

            dialog = NewJobDialog(self._window)
            dialog.choose_template(id_of(entry))
            dialog.open()
            return
        done = text(
            "register.judged_by" if self.kind == "limit_sets" else "register.used", name=entry.name_text
        )
        self._window.session.do(
            lambda desk, job_id: desk.use(job_id, entry),  # type: ignore[arg-type]
            refused=self._say,
            done=lambda _change: self._window.bar.note(done),
        )

    def show_limits(self) -> None:
        """The limits of the set in hand, to be changed."""
        from app.desk.limit_sets import LimitSet
        from app.ui.dialogs.set_limits import SetLimitsDialog

        def kept(registers: Registers, one: LimitSet) -> None:
            self._put(registers, in_hand=id_of(one))

        entry = self.in_hand()
        if isinstance(entry, LimitSet):
            SetLimitsDialog(self._window, entry, kept).open()

    def write_out(self) -> None:
        """Write everything into a file for laptops."""
        start = self._window.settings.folder / "sheets" / "registers-of-the-office.json"
        dialog = PathDialog(
            text("register_write.heading"),
            text("register_write.intro"),
            main=text("register_write.main"),
            saving=True,
            start=start,
            kind="*.json",
            parent=self._window,
        )

        def write(path: Path) -> None:
            def ask(desk: Desk) -> None:
                path.parent.mkdir(parents=True, exist_ok=True)
                desk.write_registers(path)

            def done(_found: object) -> None:
                dialog.accept()
                self._window.bar.note(text("register_write.done", name=path.name))

            self._window.session.fetch(ask, done=done, refused=dialog.refuse)

        dialog.path_chosen.connect(write)
        dialog.open()

    def take_in(self) -> None:
        """Read a file, show what it changes, and take it over when that is confirmed."""
        dialog = PathDialog(
            text("register_take.heading"),
            text("register_take.intro"),
            main=text("register_take.main"),
            saving=False,
            kind="*.json",
            parent=self._window,
        )

        def show(incoming: Incoming) -> None:
            from app.ui.dialogs.registers_in import RegistersInDialog

            dialog.accept()
            RegistersInDialog(self._window, incoming, self._put).open()

        dialog.path_chosen.connect(
            lambda path: self._window.session.fetch(
                lambda desk: desk.read_registers(path), done=show, refused=dialog.refuse
            )
        )
        dialog.open()

    def printed(self) -> list[PlainTable]:
        """All four lists, whichever is open."""
        from app.ui.archive.register_tables import register_tables

        return register_tables(self.registers, self._window.settings)

    # What is shown

    def in_hand(self) -> Entry | None:
        """The entry of the row in hand."""
        found: Entry | None = self.model.line(self.table.currentIndex().row())
        return found

    def _put(self, registers: Registers, *, in_hand: str = "") -> None:
        entry = self.in_hand()
        wanted = in_hand or (id_of(entry) if entry is not None else "")
        self.registers = registers
        self.model.sets = {one.set_id: one.name_text for one in registers.limit_sets}
        self.model.show_lines(getattr(registers, self.kind))
        self.table.setAccessibleName(text(f"register.{self.kind}"))
        for kind, tab in self.tabs.items():
            tab.set_open(kind == self.kind)
        row = self.model.row_of(wanted, id_of)
        if self.model.rowCount():
            self.table.setCurrentIndex(self.model.index(max(row, 0), 0))
        self._say(self._ended_words(registers))
        self._fill()
        self._allow()

    def _ended_words(self, registers: Registers) -> str:
        """Which calibrations ended or end soon; said whichever list is open."""
        from app.desk.archive.fleet import when_due

        today: date = self.model.today
        near = [
            text(f"register.{when}", name=one.name_text, day=one.due_on)
            for one in registers.instruments
            if (when := when_due(one.due_on or "", today)) in ("ended", "soon")
        ]
        return " · ".join(near)

    def _fill(self) -> None:
        asks = entry_form.asks_of(self.kind, self.registers)
        spelled = tuple((self.kind, ask.name, *(word for _, word in ask.choices)) for ask in asks)
        if spelled != self._asked:
            self._asked = spelled
            self._build(asks)
        entry = self.in_hand()
        for ask in asks:
            field = self.fields[ask.name]
            field.line.setModified(False)
            field.say("")
            shown = entry_form.shown(entry, ask.name, self._window.settings) if entry is not None else ""
            field.show_text(shown)
            field.set_locked(entry is None)

    def _build(self, asks: tuple[Ask, ...]) -> None:
        for field in self.fields.values():
            field.hide()
            field.deleteLater()
        self.form.forget()
        self.fields = {}
        for ask in asks:
            field = FormField(
                entry_form.caption_of(self.kind, ask.name),
                choices=ask.choices,
                must_be_stated=ask.must_be_stated,
            )
            field.kept.connect(lambda typed, ask=ask, field=field: self._keep(ask, field, typed))
            self.fields[ask.name] = self.form.adopt(field)
        self._place_fields()

    def _place_fields(self) -> None:
        abreast = 2 if self.width() >= _NARROW else 1
        for place, field in enumerate(self.fields.values()):
            self._grid.addWidget(field, place // abreast, place % abreast, Qt.AlignmentFlag.AlignTop)

    def _keep(self, ask: Ask, field: FormField, typed: str) -> None:
        entry = self.in_hand()
        if entry is None:
            return
        value = field.value() if ask.choices else typed
        made, reason = entry_form.changed(entry, ask, value, self._window.settings)
        field.say(reason)
        if made is not None and made != entry:
            kept = made
            self._window.session.fetch(
                lambda desk: desk.register(kept),
                done=lambda registers: self._put(registers, in_hand=id_of(kept)),
                refused=field.say,
            )

    def _go_to_form(self) -> None:
        first = next((one for one in self.form.fields if not one.locked), None)
        if first is not None:
            first.line.setFocus(Qt.FocusReason.TabFocusReason)

    def _say(self, sentence: str) -> None:
        self.notices.setText(sentence)
        self.notices.setVisible(bool(sentence))

    def _allow(self) -> None:
        buttons, view = self.foot.buttons, self._window.session.view
        nothing = "" if self.in_hand() is not None else text("register.nothing")
        buttons["out"].set_reason(nothing)
        buttons["limits"].setVisible(self.kind == "limit_sets")
        buttons["limits"].set_reason(nothing)
        words = {"templates": "register.start", "limit_sets": "register.judge_by"}
        buttons["use"].set_words(text(words.get(self.kind, "register.button.use")))
        why = "" if view is not None else text("register.no_job")
        if view is not None and view.read_only_reason:
            why = text("plate.locked")
        if self.kind == "templates":
            why = ""
        buttons["use"].set_reason(nothing or why)

    # Laying out

    def _lay_out(self) -> None:
        head = Panel("sheet", rules="bottom")
        inner = QVBoxLayout(head)
        inner.setContentsMargins(16, 10, 16, 0)
        inner.setSpacing(4)
        inner.addWidget(Line(text("register.heading"), role="heading", bold=True))
        inner.addWidget(self.notices)
        self.notices.hide()
        self._tab_bar = QWidget()
        tabs = QHBoxLayout(self._tab_bar)
        tabs.setContentsMargins(0, 0, 0, 0)
        tabs.setSpacing(0)
        for kind, tab in self.tabs.items():
            tab.clicked.connect(lambda _checked=False, kind=kind: self.show_kind(kind))
            tabs.addWidget(tab)
        tabs.addStretch(1)
        inner.addWidget(self._tab_bar)
        left = Panel("sheet", rules="right")
        box = QVBoxLayout(left)
        box.setContentsMargins(0, 0, 2, 0)
        box.addWidget(self.table)
        right = QVBoxLayout(self.form)
        right.setContentsMargins(16, 10, 16, 10)
        self._grid = QGridLayout()
        self._grid.setSpacing(8)
        right.addLayout(self._grid)
        right.addStretch(1)
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(left, 52)
        middle.addWidget(Scroll(self.form), 48)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addLayout(middle, 1)
        column.addWidget(self.foot)
        for place, name in enumerate(self.model.columns):
            self.table.setColumnWidth(place, _WIDTHS[name])
        self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen what tells entries apart gives way."""
        super().resizeEvent(event)
        self._place_fields()
        self.table.setColumnHidden(self.model.columns.index("what"), self.width() < _NARROW)
        self.table.setColumnHidden(self.model.columns.index("until"), self.width() < 800)
        self._tucked.arrange(self.width() < 800)
