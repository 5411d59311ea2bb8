"""What can be done from the review: each act by the dialog that asks for what it needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from app.ui.dialogs.comment import AnswerDialog, CommentDialog, can_answer
from app.ui.dialogs.decide import DecideDialog
from app.ui.dialogs.papers import file_name
from app.ui.dialogs.reason import ReasonDialog
from app.ui.dialogs.signing import SignDialog
from app.ui.review.state import alike
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.pages.review import ReviewPage
    from app.ui.review.to_decide import DecideLine
    from ctcore.job import Remark


class ReviewActs:
    """Decisions, comments with their answers, and the signature that closes the review."""

    def __init__(self, page: ReviewPage, window: Any) -> None:
        self._page, self._window = page, window

    def do(self, act: str) -> None:
        """One act on the line in hand; where it cannot be done its reason is said."""
        page = self._page
        line = page.line_in_hand()
        if act == "sign":
            self.sign_next()
        elif act in ("talk", "reopen", "answer", "close"):
            self._talk(page.detail.talk.act_of(act) if act in ("talk", "reopen") else act)
        elif line is None or not page.detail.buttons[act].isEnabled():
            self._window.bar.say(page.detail.hint.text() or page.why_no_decision())
        elif act == "comment":
            if page.state.view is not None:
                CommentDialog(self._window, line, page.state.view.job).open()
        else:
            DecideDialog(self._window, act, line, alike(page.state.lines, line)).open()

    def can_say(self) -> tuple[str, ...]:
        """What who sits here may say to a comment now."""
        state = self._page.state
        if state.view is None:
            return ()
        me = self._window.settings.me()[1]
        tested = state.revision is not None and state.revision.name_text == me
        if state.view.job.state == "handed_in" and not tested:
            return ("close", "reopen")
        return ("answer",) if tested and not state.view.read_only_reason else ()

    def _talk(self, act: str) -> None:
        comment = self._page.detail.talk.in_hand
        if not act or comment is None:
            self._window.bar.say(text("review.no_comment"))
        elif act == "answer":
            job_id = self._window.session.job_id
            self._window.session.fetch(
                lambda desk: can_answer(desk, job_id, comment),
                done=lambda found: AnswerDialog(self._window, found).open(),
            )
        elif act == "reopen":
            self._reopen(comment)
        else:
            self._window.session.do(lambda desk, job_id: desk.close_comment(job_id, comment.remark_id))

    def _reopen(self, comment: Remark) -> None:
        dialog = ReasonDialog(
            text("review.comment.ask_again"), f"“{comment.text}”",
            main=text("review.comment.ask_again_main"), caption=text("review.comment.still"),
            parent=self._window,
        )  # fmt: skip
        dialog.given.connect(
            lambda words: self._window.session.do(
                lambda desk, job_id: desk.reopen_comment(job_id, comment.remark_id, words),
                refused=dialog.say,
                done=lambda _change: dialog.accept(),
            )
        )
        dialog.open()

    # Signing

    def sign_next(self) -> None:
        """The step that is due, else what can always be signed: sending back."""
        acts = {"approve", "issue", "send_back", "write"}
        main = self._page.foot.main_act
        self.sign(main if main in acts else "send_back")

    def sign(self, act: str) -> None:
        """Ask for the passphrase of one step; one that is not possible yet says why."""
        state = self._page.state
        view, step = state.view, state.step(act)
        if view is None:
            return
        if act == "write":
            self._window.deeds.write_signed()
            return
        if step is None or step.why_not:
            self._window.bar.say(self._page.foot.sentence.text)
            return
        name, count = view.job.header.number_text, len(state.lines)
        tester = state.revision.name_text if state.revision is not None else ""
        told = text(f"{act}.told", number=name, count=state.back_count, all=count, name=tester)
        ending = {"approve": "", "send_back": " answer.json", "issue": " issued.zip"}[act]
        path = self._window.settings.folder / "sheets" / file_name(view, ending) if ending else None
        SignDialog(self._window, act, told=told, path=path, with_reason=act == "send_back").open()


def place_of(line: DecideLine | None) -> tuple[str, str] | None:
    """The test on a core that a line leads to."""
    return (line.core_id, line.procedure_id) if line is not None and line.core_id else None
