"""Believe who signed a file: compare its fingerprint with the person, by another way than the file came."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.keys import KeyLine
    from app.ui.window import MainWindow

# The person reads these groups out; they are not shown, so that nobody confirms by looking away.
HIDDEN_GROUPS: Final = 4


class BelieveDialog(DialogFrame):
    """Shows all of a fingerprint but its end, which has to be keyed as the person reads it out."""

    def __init__(self, window: MainWindow, path: Path, line: KeyLine, done: Callable[[], None]) -> None:
        super().__init__(
            text("believe_signer.heading", name=line.name_text),
            main=text("believe_signer.main"),
            intro=text("believe_signer.intro", name=line.name_text),
            width=760,
            parent=window,
        )
        self._window, self._path, self._line, self._done = window, path, line, done
        groups = line.fingerprint_groups.split()
        shown = " ".join((*groups[:-HIDDEN_GROUPS], *("····",) * HIDDEN_GROUPS))
        self.body.addWidget(Words(shown, role="value", bold=True))
        self.end = self.add_field(text("believe_signer.end", count=HIDDEN_GROUPS), must_be_stated=True)
        self.confirmed.connect(self._believe)

    def _believe(self) -> None:
        typed = "".join(self.end.value().split()).casefold()
        fingerprint = self._line.fingerprint
        if typed not in (fingerprint, fingerprint[-4 * HIDDEN_GROUPS :]):
            self.end.say(text("believe_signer.other"))
            self.end.line.setFocus()
            self.fit()
            return
        path = self._path
        self._window.session.fetch(
            lambda desk: desk.believe_signer(path, fingerprint),
            done=lambda _line: self._believed(),
            refused=self.say,
        )

    def _believed(self) -> None:
        self.accept()
        self._done()
