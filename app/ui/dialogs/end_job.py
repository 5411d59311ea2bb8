"""The ends of a job: void, or superseded by another one. What happens is said before it is done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk import View
    from app.ui.window import MainWindow


def open_end_dialog(window: MainWindow, verb: str) -> None:
    """Ask for the reason; where the step is not possible now its reason is said instead."""
    job_id = window.session.job_id or ""
    window.session.fetch(
        lambda desk: desk.why_not(job_id, verb),
        done=lambda why_not: window.bar.say(why_not) if why_not else _open(window, verb),
    )


def _open(window: MainWindow, verb: str) -> None:
    if window.session.view is not None:
        EndDialog(window, verb, window.session.view).open()


class EndDialog(DialogFrame):
    """Says what is over and what is kept; nothing is done without a reason."""

    def __init__(self, window: MainWindow, verb: str, view: View) -> None:
        super().__init__(text(f"{verb}.heading"), main=text(f"{verb}.main"), width=680, parent=window)
        self._window, self._verb = window, verb
        header, state = view.job.header, text(f"state.{view.job.state}")
        name = " ".join(part for part in (header.number_text, header.title_text) if part)
        self.body.addWidget(Words(text(f"{verb}.told", name=name, state=state)))
        self.body.addWidget(Words(text("end.kept"), role="second"))
        self.reason = self.add_field(text(f"{verb}.reason"), must_be_stated=True)
        self.confirmed.connect(self._end)

    def _end(self) -> None:
        reason, verb = self.reason.value(), self._verb
        self.reason.say("" if reason else text(f"{verb}.no_reason"))
        if not reason:
            self.reason.line.setFocus()
            self.fit()
            return
        self._window.session.do(
            lambda desk, job_id: getattr(desk, verb)(job_id, reason),
            refused=self.say,
            done=lambda _change: self.accept(),
        )
