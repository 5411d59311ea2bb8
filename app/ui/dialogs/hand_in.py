"""Hand in: name, declaration, what will stand on the sheet; then the digest of what was frozen."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from PySide6.QtWidgets import QGridLayout, QSizePolicy

from app.ui.dialogs.frame import DialogFrame
from app.ui.marks import MarkLabel
from app.ui.shell.identity import become
from app.ui.shell.lettering import Line, Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import Change, RevisionLine, View
    from app.ui.window import MainWindow


_NARROW: Final = 900
_ORDER: Final = ("outside", "refer", "not tested", "within", "not applicable")


def counts(view: View) -> Counter[str]:
    """How many findings of the job have which verdict."""
    return Counter(finding.verdict for findings in view.findings.values() for finding in findings)


class HandInDialog(DialogFrame):
    """Says plainly what freezing is and what it is not."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(text("hand_in.heading"), main=text("hand_in.main"), width=720, parent=window)
        from app.desk.papers import DECLARATION_TEXT

        self._window = window
        view = window.session.view
        assert view is not None
        self.name = self.add_field(
            text("hand_in.name"), window.settings.get("person_name_text"), must_be_stated=True
        )
        self.declaration = self.add_field(text("hand_in.declaration"), DECLARATION_TEXT, must_be_stated=True)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        abreast = 5 if window.width() >= _NARROW else 3
        found = counts(view)
        from ctcore.findings import VERDICTS

        order = sorted(VERDICTS, key=lambda verdict: _ORDER.index(verdict))
        for place, verdict in enumerate(order):
            count = Line(str(found[verdict]), role="heading", bold=True)
            count.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            grid.addWidget(count, place // abreast, 2 * (place % abreast))
            grid.addWidget(MarkLabel(verdict), place // abreast, 2 * (place % abreast) + 1)
        grid.setColumnStretch(2 * abreast, 1)
        self.body.addWidget(Line(text("hand_in.counts"), role="second"))
        self.body.addLayout(grid)
        self.body.addWidget(Words(text("hand_in.plainly")))
        self.confirmed.connect(self._freeze)

    def _freeze(self) -> None:
        self.name.say("" if self.name.value() else text("hand_in.no_name"))
        self.declaration.say("" if self.declaration.value() else text("hand_in.no_declaration"))
        wrong = [field for field in self.form.fields if field.reason]
        if wrong:
            wrong[0].line.setFocus()
            return
        become(self._window.settings, self.name.value(), self._window.session.view)
        declaration = self.declaration.value()
        self._window.session.do(
            lambda desk, job_id: desk.freeze(job_id, declaration), refused=self.say, done=self._frozen
        )

    def _frozen(self, change: Change) -> None:
        self.accept()
        FrozenDialog(self._window, change.view.revisions[-1]).open()


class FrozenDialog(DialogFrame):
    """The digest of what was frozen, to be compared with the one on paper."""

    def __init__(self, window: MainWindow, line: RevisionLine) -> None:
        from app.record.canonical import digest_groups

        super().__init__(
            text("frozen.heading", revision=line.revision), main=text("frozen.main"), width=720, parent=window
        )
        self.digest_text = digest_groups(line.digest_hex)
        self.body.addWidget(Words(text("frozen.name", name=line.name_text)))
        self.body.addWidget(Words(text("frozen.digest"), role="second"))
        self.body.addWidget(Words(self.digest_text, role="heading", bold=True))
        self.body.addWidget(Words(text("hand_in.plainly_after")))
        self.cancel.set_words(text("dialog.close"))
        self.confirmed.connect(self._go_on)
        self._window = window

    def _go_on(self) -> None:
        self.accept()
        self._window.deeds.sheet()
