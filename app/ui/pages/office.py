"""The office: the key that vouches for people, the list of those enrolled, and who was ended."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QVBoxLayout, QWidget

from app.desk import Change
from app.ui import theme
from app.ui.dialogs.key_act import KeyActDialog, Question
from app.ui.models.enrolled import EnrolledModel
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Line, Panel, WholeWords
from app.ui.shell.part import Part
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.office import OfficeView
    from app.record.certificates import Role
    from app.ui.window import MainWindow

_TRIES: Final = "office"
_ROLES: Final[dict[str, tuple[Role, ...]]] = {
    "tester": ("tester",),
    "approver": ("approver",),
    "both": ("tester", "approver"),
}
ACTS: Final = (
    ("make_office", "Alt+M"),
    ("write_office", "Alt+C"),
    ("write_list", "Alt+L"),
    ("end_person", "Alt+E"),
    ("enrol", "Alt+N"),
)


class OfficePage(QWidget):
    """Facts on top, people beneath, acts at the foot."""

    page_id = "office"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.office: OfficeView | None = None
        self.facts, self.fingerprint = WholeWords(role="finding"), WholeWords(role="value", bold=True)
        self.model = EnrolledModel(self)
        self.table = RuledTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName(text("office.people"))
        self.buttons: dict[str, VerbButton] = {}
        self._lay_out()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def first_focus(self) -> None:
        """Look again; the list, or what can be done first."""
        self._window.session.fetch(lambda desk: desk.office(), done=self._put)
        self._focus()

    def parts(self) -> list[Part]:
        """People, acts."""
        return [Part(self.table, self.table.setFocus), Part(self._foot, self._focus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _focus(self) -> None:
        first = self.buttons["make_office" if self.office is None else "enrol"]
        first.setFocus(Qt.FocusReason.TabFocusReason)

    def _put(self, office: OfficeView | None) -> None:
        self.office = office
        people = office.people if office is not None else ()
        self.model.put(people)
        self.table.setVisible(office is not None)
        if people:
            self.table.setCurrentIndex(self.model.index(0, 0))
        if office is None:
            self.facts.setText(text("office.none"))
            self.fingerprint.setText("")
        else:
            self.facts.setText(text("office.here", name=office.line.name_text, until=office.line.until_text))
            self.fingerprint.setText(office.line.fingerprint_groups)
        for name, _key in ACTS:
            missing = "" if office is not None else text("office.not_yet")
            self.buttons[name].set_reason(missing)
        self.buttons["make_office"].set_reason("")
        for name, _key in ACTS:
            self.buttons[name].setVisible((name == "make_office") is (office is None))
        if office is not None and not people:
            self.buttons["end_person"].set_reason(text("office.nobody"))
        self._focus()

    def do(self, name: str) -> None:
        """Open the dialog of an act."""
        folder = self._window.settings.folder / "sheets"
        roles = tuple((role, text(f"enrol.role_{role}")) for role in _ROLES)
        line = self.model.line(self.table.currentIndex().row())
        fingerprint = line.fingerprint if line is not None else ""
        acts: dict[str, tuple[list[Question], Any]] = {
            "make_office": (
                [
                    Question(name="name"),
                    Question(name="new", kind="new"),
                    Question(name="again", kind="again"),
                ],
                lambda desk, said: desk.make_office(said["name"], said["new"]),
            ),
            "enrol": (
                [
                    Question(name="request", kind="read"),
                    Question(name="role", kind="choice", value="tester", choices=roles),
                    Question(name="file", kind="write", value=str(folder / "enrolled.pem")),
                    Question(name="passphrase", kind="passphrase"),
                ],
                lambda desk, said: desk.enrol(
                    said["passphrase"], Path(said["request"]), _ROLES[said["role"]], Path(said["file"])
                ),
            ),
            "end_person": (
                [Question(name="reason"), Question(name="passphrase", kind="passphrase")],
                lambda desk, said: desk.end_person(said["passphrase"], fingerprint, said["reason"]),
            ),
            "write_office": (
                [Question(name="file", kind="write", value=str(folder / "office.pem"))],
                lambda desk, said: desk.write_office_certificate(Path(said["file"])),
            ),
            "write_list": (
                [Question(name="file", kind="write", value=str(folder / "office-register.json"))],
                lambda desk, said: desk.write_office_list(Path(said["file"])),
            ),
        }
        questions, ask = acts[name]
        intro = text("end_person.of", name=line.name_text) if name == "end_person" and line else ""

        def done(_found: object) -> None:
            self._window.session.fetch(lambda desk: desk.office(), done=self._put)
            self._window.bar.say(text(f"{name}.done"))

        KeyActDialog(
            self._window, name, questions, ask, tries=self._window.tries.of(_TRIES), done=done, intro=intro
        ).open()

    def _lay_out(self) -> None:
        head = Panel("sheet")
        facts = QVBoxLayout(head)
        facts.setContentsMargins(16, 12, 16, 8)
        facts.setSpacing(8)
        facts.addWidget(Line(text("office.heading"), role="heading", bold=True))
        facts.addWidget(self.facts)
        facts.addWidget(self.fingerprint)
        columns = self.table.horizontalHeader()
        self.table.setColumnWidth(0, 260)
        self.table.setColumnWidth(1, 260)
        columns.setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        sheet = Panel("sheet")
        inner = QVBoxLayout(sheet)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(self.table, 1)
        foot = self._foot = Panel("sheet", rules="top", weight=2)
        foot.setFixedHeight(theme.density().main_button + 6)
        row = QHBoxLayout(foot)
        row.setContentsMargins(12, 4, 4, 2)
        row.setSpacing(8)
        row.addStretch(1)
        for name, key in ACTS:
            button = VerbButton(text(f"{name}.button"), key, main=name == "enrol")
            button.answer_key()
            button.clicked.connect(lambda _checked=False, name=name: self.do(name))
            self.buttons[name] = button
            row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(sheet, 1)
        column.addWidget(foot)
