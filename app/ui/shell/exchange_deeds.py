"""The verbs between this computer and others: drafts, what two of them say differently, archive, folder."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.ui.window import MainWindow


class ExchangeDeeds:
    """What goes to other computers and comes back."""

    window: MainWindow

    def hand_out(self) -> None:
        """Write the job as a draft for another computer."""
        from app.ui.dialogs.papers import open_draft_dialog

        open_draft_dialog(self.window)

    def questions(self) -> None:
        """What two computers say differently of this job."""
        from app.ui.dialogs.questions import open_questions_dialog

        open_questions_dialog(self.window)

    def sending(self) -> None:
        """The queue to the archive."""
        self.window.show_page("sending")

    def exchange(self) -> None:
        """What waits in the folder that laptops and office share."""
        self.window.show_page("exchange")
