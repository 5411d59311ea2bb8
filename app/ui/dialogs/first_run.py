"""Once, before the first job: the preferences that every sheet needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.settings import ROWS
from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.preferences import setting_field, wrong_words
from app.ui.shell.fields import FormField
from app.ui.shell.identity import become
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow


class FirstRunDialog(DialogFrame):
    """A field per preference that is asked first, two beside each other; all of them are kept together."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(
            text("first_run.heading"), main=text("first_run.main"), intro=text("first_run.intro"), width=840,
            parent=window,
        )  # fmt: skip
        self._window = window
        self.answers: dict[str, FormField] = {
            row.name: setting_field(row, window.settings.get(row.name)) for row in ROWS if row.asked_first
        }
        fields = list(self.answers.values())
        for left, right in zip(fields[::2], [*fields[1::2], None], strict=False):
            self.add_row(*([left] if right is None else [left, right]))
        self.confirmed.connect(self._keep)

    def _keep(self) -> None:
        for name, field in self.answers.items():
            field.say(wrong_words(name, field.value()))
        wrong = [field for field in self.answers.values() if field.reason]
        if wrong:
            wrong[0].line.setFocus()
            return
        values = {name: field.value() for name, field in self.answers.items() if name != "person_name_text"}
        try:
            become(self._window, self.answers["person_name_text"].value())
            self._window.settings.change(**values)
        except OSError as problem:
            self.say(text("preferences.not_saved", reason=problem.strerror or str(problem)))
            return
        self.accept()
