"""My key: whose it is and who vouches for it; what can be done with it; whom this computer believes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from app.desk import Change, Desk
from app.desk.keys import KeyLine, key_line
from app.ui.dialogs.key_act import Answers, KeyActDialog, Question
from app.ui.dialogs.signing import tries_of_mine
from app.ui.shell.key_button import VerbButton
from app.ui.shell.lettering import Line, Panel, WholeWords
from app.ui.shell.part import Part
from app.ui.shell.scroll import Scroll
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

_NARROW: Final = 900


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyState:
    """The own key, and everybody who is believed on this computer."""

    mine: KeyLine | None
    believed: tuple[KeyLine, ...]
    offices: tuple[KeyLine, ...]
    list_text: str


def read(desk: Desk) -> KeyState:
    """The state of keys on this computer."""
    from app.record.instants import said

    trust = desk.trust()
    newest = max((one.made_utc for one in trust.registers), default=None)
    return KeyState(
        mine=desk.my_key(),
        believed=tuple(key_line(one) for one in trust.people),
        offices=tuple(key_line(one) for one in trust.offices),
        list_text=said(newest) if newest is not None else "",
    )


@dataclass(frozen=True, slots=True)
class Act:
    """One thing to do with keys: its name in the text table, its key on the keyboard, what it wants."""

    name: str
    key: str
    wants_key: bool | None = None


ACTS: Final = (
    Act("make_key", "Alt+M", False),
    Act("ask_office", "Alt+R", True),
    Act("take_certificate", "Alt+T", True),
    Act("write_certificate", "Alt+C", True),
    Act("change_passphrase", "Alt+P", True),
    Act("write_key", "Alt+X", True),
    Act("believe", "Alt+A"),
    Act("take_list", "Alt+L"),
)


class MyKeyPage(QWidget):
    """What is so at the left, what can be done at the right."""

    page_id = "my_key"

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.state: KeyState | None = None
        self.mine, self.fingerprint = WholeWords(role="body"), WholeWords(role="value", bold=True)
        self.advice, self.believed = WholeWords(role="finding"), WholeWords(role="finding")
        self.buttons: dict[str, VerbButton] = {}
        self._lay_out()

    def show_change(self, _change: Change) -> None:
        """A job changes nothing here."""

    def first_focus(self) -> None:
        """Look again; the first thing that can be done takes the focus."""
        self._window.session.fetch(read, done=self._put)
        self._focus()

    def parts(self) -> list[Part]:
        """One part: what can be done."""
        return [Part(self._acts, self._focus)]

    def show_sets(self) -> None:
        """There are no sets on this page."""

    def _focus(self) -> None:
        first = next((one for one in self.buttons.values() if one.isEnabled()), None)
        if first is not None:
            first.setFocus(Qt.FocusReason.TabFocusReason)

    def _put(self, state: KeyState) -> None:
        had = self.state is not None
        self.state = state
        mine, name = state.mine, self._window.settings.get("person_name_text")
        if mine is None:
            self.mine.setText(text("my_key.none", name=name) if name else text("my_key.nobody"))
            self.fingerprint.setText("")
            self.advice.setText(text("my_key.what_for"))
        else:
            by = text("my_key.enrolled", office=mine.office_text or text("my_key.unknown_office"))
            vouched = by if mine.enrolled else text("my_key.self_signed")
            self.mine.setText(
                text("my_key.mine", name=mine.name_text, until=mine.until_text) + "\n" + vouched
            )
            self.fingerprint.setText(mine.fingerprint_groups)
            self.advice.setText(text("my_key.advice_enrolled" if mine.enrolled else "my_key.advice_self"))
        self.believed.setText(_believed(state))
        for act in ACTS:
            reason = ""
            if act.wants_key is True and mine is None:
                reason = text("my_key.no_key_yet")
            elif act.wants_key is False and mine is not None:
                reason = text("my_key.has_key")
            self.buttons[act.name].set_reason(reason)
        if not had or not self.isAncestorOf(self._window.focusWidget() or self):
            self._focus()

    # Acts

    def do(self, name: str) -> None:
        """Open the dialog of an act."""
        folder = self._window.settings.folder / "sheets"
        me = self._window.settings.get("person_name_text").replace(" ", "-") or "me"
        tries, acts = tries_of_mine(self._window), {
            "make_key": (
                [Question(name="new", kind="new"), Question(name="again", kind="again")],
                lambda desk, said: desk.make_key(said["new"]),
            ),
            "ask_office": (
                [_file(folder / f"{me} request.pem"), _passphrase()],
                lambda desk, said: desk.ask_for_certificate(said["passphrase"], Path(said["file"])),
            ),
            "take_certificate": (
                [_read()],
                lambda desk, said: desk.take_certificate(Path(said["file"])),
            ),
            "write_certificate": (
                [_file(folder / f"{me}.pem")],
                lambda desk, said: desk.write_certificate(Path(said["file"])),
            ),
            "change_passphrase": (
                [_passphrase(), Question(name="new", kind="new"), Question(name="again", kind="again")],
                lambda desk, said: desk.change_passphrase(said["passphrase"], said["new"]),
            ),
            "write_key": (
                [
                    _file(folder / f"{me}.p12"),
                    _passphrase(),
                    Question(name="new", kind="new"),
                    Question(name="again", kind="again"),
                ],
                lambda desk, said: desk.write_key(said["passphrase"], said["new"], Path(said["file"])),
            ),
            "believe": (
                [_read(), Question(name="fingerprint")],
                lambda desk, said: desk.believe(Path(said["file"]), said["fingerprint"]),
            ),
            "take_list": ([_read()], lambda desk, said: desk.take_register(Path(said["file"]))),
        }  # fmt: skip
        questions, ask = acts[name]
        if name == "make_key" and not self._window.settings.get("person_name_text"):
            self._window.bar.say(text("my_key.nobody"))
            return
        self._open(name, questions, ask, tries)

    def _open(self, name: str, questions: list[Question], ask: Any, tries: Any) -> None:
        intro = ""
        if name == "write_key":
            from app.record.people_keys import PKCS12_WARNING

            intro = PKCS12_WARNING

        def done(_found: object) -> None:
            self._window.session.fetch(read, done=self._put)
            self._window.bar.say(text(f"{name}.done"))

        def run(desk: Desk, said: Answers) -> Any:
            return ask(desk, said)

        KeyActDialog(self._window, name, questions, run, tries=tries, done=done, intro=intro).open()

    # Layout

    def _lay_out(self) -> None:
        left = QWidget()
        facts = QVBoxLayout(left)
        facts.setContentsMargins(16, 12, 16, 12)
        facts.setSpacing(10)
        facts.addWidget(Line(text("my_key.heading"), role="heading", bold=True))
        facts.addWidget(self.mine)
        facts.addWidget(Line(text("my_key.fingerprint"), role="second"))
        facts.addWidget(self.fingerprint)
        facts.addWidget(self.advice)
        facts.addSpacing(8)
        facts.addWidget(Line(text("my_key.believed"), role="heading", bold=True))
        facts.addWidget(self.believed)
        facts.addStretch(1)
        self._acts = Panel("sheet", rules="left")
        column = QVBoxLayout(self._acts)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(8)
        for act in ACTS:
            button = VerbButton(text(f"{act.name}.button"), act.key)
            button.answer_key()
            button.setFixedHeight(56)
            button.clicked.connect(lambda _checked=False, name=act.name: self.do(name))
            self.buttons[act.name] = button
            column.addWidget(button)
        column.addStretch(1)
        inner = QWidget()
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight, inner)
        self._columns.setContentsMargins(0, 0, 0, 0)
        self._columns.setSpacing(0)
        self._columns.addWidget(left, 1)
        self._columns.addWidget(self._acts, 0)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(Scroll(inner))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen the acts stand under the facts."""
        super().resizeEvent(event)
        wide = self.width() >= _NARROW
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._columns.setDirection(way)
        self._acts.setMinimumWidth(380 if wide else 0)


def _file(start: Path) -> Question:
    return Question(name="file", kind="write", value=str(start))


def _read() -> Question:
    return Question(name="file", kind="read")


def _passphrase() -> Question:
    return Question(name="passphrase", kind="passphrase")


def _believed(state: KeyState) -> str:
    lines = [
        text("my_key.believed_office", name=one.name_text, groups=_short(one), until=one.until_text)
        for one in state.offices
    ]
    lines += [
        text("my_key.believed_person", name=one.name_text, groups=_short(one), until=one.until_text)
        for one in state.believed
        if state.mine is None or one.fingerprint != state.mine.fingerprint
    ]
    if state.offices:
        listed = text("my_key.list", when=state.list_text) if state.list_text else text("my_key.no_list")
        lines.append(listed)
    return "\n".join(lines) or text("my_key.believed_nobody")


def _short(line: KeyLine) -> str:
    return " ".join(line.fingerprint_groups.split()[:4])
