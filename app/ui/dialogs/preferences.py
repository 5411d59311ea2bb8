"""Every preference by its group: found by typing, kept at once where it is answered, and taken back again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from app.settings import GROUPS, ROWS, Setting, row_of, why_not
from app.ui.dialogs.frame import DialogFrame
from app.ui.models.setting_words import choices_of, help_of, label_of
from app.ui.pages.jobs import SearchField
from app.ui.shell.again import start_again
from app.ui.shell.fields import FormField
from app.ui.shell.identity import become
from app.ui.shell.lettering import Words
from app.ui.shell.scroll import bring_into_view
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

# What a window that stands cannot change.
_OPENS_ANEW: Final = ("size_percent", "language", "decimal_mark")
_LOOK: Final = ("theme", "density")
_ABREAST: Final = 720


@dataclass(frozen=True, slots=True)
class Group:
    """The rows of one subject, with the words above them."""

    head: Words
    box: QWidget
    grid: QGridLayout
    names: tuple[str, ...]


class PreferencesDialog(DialogFrame):
    """Enter in a field keeps it and goes on; Ctrl+Z takes the last one back, Escape all of them."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(
            text("preferences.heading"), main=text("preferences.main"), intro=text("preferences.intro"),
            width=900, parent=window,
        )  # fmt: skip
        self._window, self._settings = window, window.settings
        self.search = SearchField()
        self.search.setAccessibleName(text("preferences.search"))
        self.search.setPlaceholderText(text("preferences.search"))
        self.search.setFixedHeight(44)
        self.search.textChanged.connect(self._look_for)
        self.search.entered.connect(self._to_first)
        self.search.moved.connect(lambda _step: self._to_first())
        self.nothing = Words(text("preferences.nothing"))
        self.nothing.hide()
        in_order = sorted(ROWS, key=lambda row: GROUPS.index(row.group))
        self.answers: dict[str, FormField] = {row.name: self._field(row) for row in in_order}
        self.body.addWidget(self.search)
        self.body.addWidget(self.nothing)
        self.groups = [self._group(name) for name in GROUPS]
        self.body.addStretch(1)
        self._before = {row.name: self._settings.get(row.name) for row in ROWS}
        self._kept: list[dict[str, str]] = []
        self.cancel.set_words(text("preferences.as_before"))
        self.back = self.add_button(text("preferences.undo"), "Ctrl+Z")
        self.back.clicked.connect(self.take_back)
        undo = QShortcut(QKeySequence("Ctrl+Z"), self)
        undo.activated.connect(self.take_back)
        self.confirmed.connect(self._finish)
        self._tell_undo()
        self._look_for("")

    def showEvent(self, event: QShowEvent) -> None:
        """Letters typed at once search."""
        super().showEvent(event)
        self.search.setFocus()

    # What stands on the screen

    def _field(self, row: Setting) -> FormField:
        field = setting_field(row, self._settings.get(row.name))
        field.set_locked(row.group == "kept")
        self.form.adopt(field)
        field.kept.connect(lambda _words, name=row.name: self.keep(name))
        if row.choices:
            field.line.textChanged.connect(lambda _words, name=row.name: self.keep(name))
        return field

    def _group(self, name: str) -> Group:
        head, box = Words(text(f"preferences.group.{name}"), role="value", bold=True), QWidget()
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 8)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(8)
        self.body.addWidget(head)
        self.body.addWidget(box)
        return Group(head, box, grid, tuple(row.name for row in ROWS if row.group == name))

    def _look_for(self, typed: str) -> None:
        """Leave the rows whose label, help or answers hold every word that was typed."""
        wanted = typed.casefold().split()
        wide = self._window.width() >= _ABREAST
        found = 0
        for group in self.groups:
            shown = [name for name in group.names if all(word in _words_of(row_of(name)) for word in wanted)]
            for name in group.names:
                self.answers[name].hide()
                group.grid.removeWidget(self.answers[name])
            for place, name in enumerate(shown):
                row, column = divmod(place, 2 if wide else 1)
                group.grid.addWidget(self.answers[name], row, column)
                self.answers[name].show()
            group.head.setVisible(bool(shown))
            group.box.setVisible(bool(shown))
            found += len(shown)
        self.nothing.setVisible(not found)

    def _to_first(self) -> None:
        first = next((one for one in self.form.fields if not one.isHidden() and not one.locked), None)
        if first is not None:
            first.line.setFocus()

    # What is kept, and taken back

    def keep(self, name: str) -> None:
        """Keep one answer now; one that is not taken says why at its field, and the one before stays."""
        field = self.answers[name]
        value, before = field.value(), self._settings.get(name)
        # Another name is another person: both go back together.
        together = (name, "person_id") if name == "person_name_text" else (name,)
        values = {one: self._settings.get(one) for one in together}
        field.say(wrong_words(name, value))
        field.note(help_of(row_of(name)))
        if field.reason or value == before:
            return
        if self._put({name: value}):
            self._kept.append(values)
            self._tell_undo()

    def take_back(self) -> None:
        """Take the last answer back."""
        if self._kept:
            self._put(self._kept.pop())
            self._tell_undo()

    def reject(self) -> None:
        """Leave everything as it was when this was opened."""
        while self._kept:
            self.take_back()
        super().reject()

    def _finish(self) -> None:
        for field in self.form.fields:
            field.keep_typed()
        wrong = next((field for field in self.answers.values() if field.reason), None)
        if wrong is not None:
            self.search.clear()
            self.say(text("preferences.wrong", field=wrong.caption, reason=wrong.reason))
            wrong.line.setFocus()
            bring_into_view(wrong)
            return
        self.accept()
        if any(self._settings.get(name) != self._before[name] for name in _OPENS_ANEW):
            start_again(self._window)

    def _put(self, values: dict[str, str]) -> bool:
        try:
            if list(values) == ["person_name_text"]:
                become(self._window, values["person_name_text"])
            else:
                self._settings.change(**values)
        except OSError as problem:
            self.say(text("preferences.not_saved", reason=problem.strerror or str(problem)))
            return False
        self.say("")
        if set(values) & set(_LOOK):
            self._window.deeds.dress()
        if "person_id" in values:
            self._window.somebody_else_sits_here()
        for name in (*values, "person_id"):
            self._show(name)
        return True

    def _show(self, name: str) -> None:
        field = self.answers[name]
        field.line.setModified(False)
        field.say("")
        field.show_text(self._settings.get(name))
        field.note(help_of(row_of(name)))

    def _tell_undo(self) -> None:
        self.back.set_reason("" if self._kept else text("title.no_undo"))


def setting_field(row: Setting, value: str) -> FormField:
    """The field of a preference, with its help beneath."""
    field = FormField(
        label_of(row), choices=choices_of(row), must_be_stated=row.needed, help_text=help_of(row)
    )
    field.show_text(value)
    field.note(help_of(row))
    return field


def wrong_words(name: str, value: str) -> str:
    """Why a preference does not take that, in words; "" where it does."""
    row = row_of(name)
    reason = why_not(row, value)
    return text(f"preferences.wrong.{reason}", most=row.most_signs) if reason else ""


def _words_of(row: Setting) -> str:
    return " ".join((label_of(row), help_of(row), *(words for _, words in choices_of(row)))).casefold()
