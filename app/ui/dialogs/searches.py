"""Questions to the archive that are kept under a name: kept, asked again, forgotten."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.reason import ReasonDialog
from app.ui.texts import text

if TYPE_CHECKING:
    from app.jobstore.archive import Asked
    from app.ui.window import MainWindow


class SaveSearchDialog(ReasonDialog):
    """Asks for the name; the one that had it is replaced."""

    def __init__(self, window: MainWindow, asked: Asked) -> None:
        super().__init__(
            text("search_save.heading"), text("search_save.intro"), main=text("search_save.main"),
            caption=text("search_save.name"), parent=window,
        )  # fmt: skip
        self._window, self._asked = window, asked
        self.given.connect(self._keep)

    def _keep(self, name: str) -> None:
        who = self._window.settings.me()[1]
        self._window.archive.ask(
            "searches",
            lambda archive: archive.save_search(name, self._asked, person_text=who),
            done=lambda _found: self._kept(name),
            failed=self.say,
        )

    def _kept(self, name: str) -> None:
        self.accept()
        self._window.bar.note(text("search_save.done", name=name))


class SearchesDialog(DialogFrame):
    """One of the kept questions is asked, or forgotten."""

    def __init__(self, window: MainWindow, kept: Mapping[str, Asked], take: Callable[[Asked], None]) -> None:
        super().__init__(
            text("searches.heading"), main=text("searches.main"), intro=text("searches.intro"), parent=window
        )
        self._window, self._kept, self._take = window, dict(kept), take
        names = [(name, name) for name in self._kept]
        self.name = self.add_field(text("searches.name"), names[0][0], choices=names)
        self.forget = self.add_button(text("searches.forget"), "Alt+D")
        self.forget.answer_key()
        self.forget.clicked.connect(self._forget)
        self.confirmed.connect(self._ask)

    def _ask(self) -> None:
        asked = self._kept.get(self.name.value())
        if asked is not None:
            self.accept()
            self._take(asked)

    def _forget(self) -> None:
        name = self.name.value()
        self._window.archive.ask(
            "searches",
            lambda archive: archive.forget_search(name),
            done=lambda _found: self._forgotten(name),
            failed=self.say,
        )

    def _forgotten(self, name: str) -> None:
        self.accept()
        self._window.bar.note(text("searches.forgotten", name=name))


def open_searches(
    window: MainWindow, take: Callable[[Asked], None], *, failed: Callable[[str], None]
) -> None:
    """Ask for the kept questions and show them; where there are none the page says so."""

    def show(kept: Mapping[str, Asked]) -> None:
        if kept:
            SearchesDialog(window, kept, take).open()
        else:
            failed(text("searches.none"))

    window.archive.ask("searches", lambda archive: archive.saved_searches(), done=show, failed=failed)
