"""The preferences: on the first run those that every sheet needs, later all of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from app.settings import ROWS, Setting
from app.ui.dialogs.frame import DialogFrame
from app.ui.models.setting_words import choices_of, help_of, label_of
from app.ui.shell.again import start_again
from app.ui.shell.fields import FormField
from app.ui.shell.identity import become
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

_NEEDED: Final = ("organisation_text", "person_name_text")
# What a window that stands cannot change.
_OPENS_ANEW: Final = ("size_percent", "language")
_NOT_ASKED: Final = ("person_id", "place", "store_name_text")


class PreferencesDialog(DialogFrame):
    """A field per row of the preferences, two beside each other."""

    def __init__(self, window: MainWindow, *, first: bool = False) -> None:
        name = "first_run" if first else "preferences"
        super().__init__(
            text(f"{name}.heading"),
            main=text(f"{name}.main"),
            intro=text(f"{name}.intro"),
            width=840,
            parent=window,
        )
        self._window = window
        rows = [row for row in ROWS if row.name not in _NOT_ASKED and (row.asked_first or not first)]
        self.answers: dict[str, FormField] = {row.name: self._field(row) for row in rows}
        fields = list(self.answers.values())
        for left, right in zip(fields[::2], [*fields[1::2], None], strict=False):
            self.add_row(*([left] if right is None else [left, right]))
        self.confirmed.connect(self._keep)

    def _field(self, row: Setting) -> FormField:
        field = FormField(
            label_of(row),
            choices=choices_of(row),
            must_be_stated=row.name in _NEEDED,
            help_text=help_of(row),
        )
        field.show_text(self._window.settings.get(row.name))
        field.note(help_of(row))
        return field

    def _keep(self) -> None:
        for name in _NEEDED:
            field = self.answers[name]
            field.say("" if field.value() else text("first_run.needed"))
            if field.reason:
                field.line.setFocus()
                return
        settings = self._window.settings
        before = [settings.get(name) for name in _OPENS_ANEW]
        become(settings, self.answers["person_name_text"].value(), self._window.session.view)
        try:
            settings.change(
                **{name: field.value() for name, field in self.answers.items() if name != "person_name_text"}
            )
        except OSError as problem:
            self.say(text("preferences.not_saved", reason=problem.strerror or str(problem)))
            return
        self._window.deeds.dress()
        self.accept()
        if [settings.get(name) for name in _OPENS_ANEW] != before:
            start_again(self._window)
