"""The verbs on the program itself: how it looks, who sits here, training, what it says about itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from app.display import INTO_TRAINING, OUT_OF_TRAINING
from app.settings import ROWS, empty_training
from app.ui import theme
from app.ui.shell import again
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.dialogs.frame import DialogFrame
    from app.ui.window import MainWindow


class ProgramDeeds:
    """What can be asked of the program where no job is meant."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window

    def theme(self) -> None:
        """Day, night, as the system: one after the other."""
        order = ("day", "night", "system")
        chosen = order[(order.index(self.window.settings.get("theme")) + 1) % len(order)]
        self.window.settings.change(theme=chosen)
        self.dress()

    def follow_system(self) -> None:
        """The desktop went from day to night or back."""
        if self.window.settings.get("theme") == "system":
            self.dress()

    def larger(self) -> None:
        """The next size of everything."""
        self._size(+1, text("size.largest"))

    def smaller(self) -> None:
        """The size of everything before."""
        self._size(-1, text("size.smallest"))

    def _size(self, step: int, last: str) -> None:
        sizes = [size for size, _ in next(row for row in ROWS if row.name == "size_percent").choices]
        wanted = sizes.index(self.window.settings.get("size_percent")) + step
        if not 0 <= wanted < len(sizes):
            self.window.bar.note(last)
            return
        self.window.settings.change(size_percent=sizes[wanted])
        again.start_again(self.window)

    def small(self) -> None:
        """Rows for the office."""
        self._density("small")

    def field(self) -> None:
        """Rows for the field."""
        self._density("field")

    def gloves(self) -> None:
        """Rows for gloves."""
        self._density("gloves")

    def _density(self, name: str) -> None:
        self.window.settings.change(density=name)
        self.dress()

    def dress(self) -> None:
        """Put on the theme and the density that the preferences name."""
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        settings = self.window.settings
        theme.apply(app, settings.get("theme"), settings.get("density"))

    def ask_first(self) -> None:
        """On the first run ask once for what every sheet needs."""
        if not self.window.settings.complete():
            from app.ui.dialogs.first_run import FirstRunDialog

            FirstRunDialog(self.window).open()

    def store_missing(self, sentence: str) -> None:
        """The store is not where it was, and a copy of it is there: ask what to go on with."""
        from app.ui.dialogs.store_missing import StoreMissingDialog

        StoreMissingDialog(self.window, sentence).open()

    def preferences(self) -> None:
        """Every preference."""
        from app.ui.dialogs.preferences import PreferencesDialog

        PreferencesDialog(self.window).open()

    def practice(self) -> None:
        """Go into training, where nothing is a record; from there back to the real jobs."""
        inside = self.window.settings.training
        again.start_again(self.window, OUT_OF_TRAINING if inside else INTO_TRAINING)

    def walk(self) -> None:
        """The first job step by step, where it was left."""
        self.window.walk.resume()

    def walk_again(self) -> None:
        """The same from its first step."""
        self.window.walk.restart()

    def practice_anew(self) -> None:
        """Empty training, after a question, and begin it anew; of the real jobs nothing is touched."""
        from app.ui.dialogs.frame import DialogFrame

        if not self.window.settings.training:
            self.window.bar.note(text("practice_anew.outside"))
            return
        dialog = DialogFrame(
            text("practice_anew.heading"), main=text("practice_anew.main"), intro=text("practice_anew.intro"),
            parent=self.window,
        )  # fmt: skip
        dialog.confirmed.connect(lambda: self._begin_anew(dialog))
        dialog.open()

    def _begin_anew(self, dialog: DialogFrame) -> None:
        dialog.accept()
        empty_training(self.window.settings.folder)
        again.start_again(self.window, INTO_TRAINING)

    def who(self) -> None:
        """Who sits here: another person sits down."""
        from app.ui.dialogs.who import open_who

        open_who(self.window)

    def diagnostics(self) -> None:
        """What can be given to who helps, shown in full first."""
        from app.ui.dialogs.diagnostics import open_diagnostics

        open_diagnostics(self.window)

    def notices(self) -> None:
        """What changed, licences and notices of others."""
        from app.ui.dialogs.notices import NoticesDialog

        NoticesDialog(self.window).open()

    def about(self) -> None:
        """Version, build, and what the program runs on."""
        from app.ui.dialogs.about import AboutDialog

        AboutDialog(self.window).open()

    def data_place(self) -> None:
        """Where data lies, and moving all of it."""
        self.window.show_page("data_place")

    def quit(self) -> None:
        """Close the window; everything is on the disk."""
        self.window.close()
