"""Verbs of the office's desk: archive, figures, registers, and tables on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.ui.window import MainWindow


class OfficeDeeds:
    """What the office looks at beside single jobs."""

    window: MainWindow

    def archive(self) -> None:
        """Search the archive of the office."""
        self.window.show_page("archive")

    def fleet(self) -> None:
        """Figures of the whole office."""
        self.window.show_page("fleet")

    def print_list(self) -> None:
        """The tables of the page in hand as PDF."""
        from app.ui.shell.paper import print_page

        print_page(self.window)

    def registers(self) -> None:
        """People, instruments, limit sets and templates of the office."""
        self.window.show_page("registers")
