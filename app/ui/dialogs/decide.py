"""A decision about a line: its reason, and whether it goes for every line of the kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.review.to_decide import DecideLine
    from app.ui.window import MainWindow


class DecideDialog(DialogFrame):
    """Send back, accept or grant a concession; the reason stands in the record under the name."""

    def __init__(self, window: MainWindow, decision: str, line: DecideLine, keys: list[str]) -> None:
        super().__init__(
            text(f"decide.{decision}.heading"), main=text(f"decide.{decision}.main"), width=680, parent=window
        )
        self._window, self._decision, self._keys = window, decision, keys
        self.body.addWidget(Words(f"{line.place_text}: {line.found_text}"))
        self.body.addWidget(Words(text("decide.name", name=window.settings.me()[1]), role="second"))
        self.reason = self.add_field(text("reason.caption"), must_be_stated=decision != "accepted")
        self.extent = None
        if len(keys) > 1:
            choices = (("one", text("decide.one")), ("all", text("decide.all", count=len(keys))))
            self.extent = self.add_field(text("decide.extent"), "one", choices=choices)
        self.confirmed.connect(self._decide)

    def _decide(self) -> None:
        if self.reason.must_be_stated and not self.reason.value():
            self.reason.say(text("reason.missing"))
            self.reason.line.setFocus()
            self.fit()
            return
        every = self.extent is not None and self.extent.value() == "all"
        keys, reason, decision = self._keys if every else self._keys[:1], self.reason.value(), self._decision
        self._window.session.do(
            lambda desk, job_id: desk.decide(job_id, keys, decision, reason),  # type: ignore[arg-type]
            refused=self.say,
            done=lambda _change: self._decided(),
        )

    def _decided(self) -> None:
        """The list shows the decision itself; nothing more has to be said."""
        self.accept()
        self._window.bar.clear()
