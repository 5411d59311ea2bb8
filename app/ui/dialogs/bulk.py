"""Many records out of the archive into a folder: what of them; it can stop and go on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.fields import FormField
from app.ui.shell.lettering import Words
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.archive.bulk import Written
    from app.jobstore.archive import Archive, Asked
    from app.ui.window import MainWindow

KINDS: Final = ("sheets", "csv", "json", "packs")
_CHOSEN: Final = ("sheets", "csv")


class BulkDialog(DialogFrame):
    """A folder and what is to be written; what was written is said in words, stopped or finished."""

    def __init__(self, window: MainWindow, asked: Asked) -> None:
        super().__init__(
            text("bulk.heading"), main=text("bulk.main"), intro=text("bulk.intro"), width=720, parent=window
        )
        self._window, self._asked = window, asked
        self.is_running = False
        self.folder = self.add_field(
            text("bulk.folder"), str(window.settings.folder / "out-of-archive"), must_be_stated=True
        )
        yes_no = [("yes", text("bulk.yes")), ("no", text("bulk.no"))]
        self.kinds: dict[str, FormField] = {}
        for name in KINDS:
            field = FormField(text(f"bulk.{name}"), choices=yes_no)
            field.show_text("yes" if name in _CHOSEN else "no")
            self.kinds[name] = field
        self.add_row(self.kinds["sheets"], self.kinds["csv"])
        self.add_row(self.kinds["json"], self.kinds["packs"])
        self.progress = Words(role="value", bold=True)
        self.progress.hide()
        self.body.addWidget(self.progress)
        self.confirmed.connect(self._go)

    def reject(self) -> None:
        """Escape stops what is being written; nothing that was written goes."""
        if self.is_running:
            self._window.works.stop()
        else:
            super().reject()

    def _go(self) -> None:
        if self.is_running:
            return
        typed = self.folder.value()
        wanted = {name: field.value() == "yes" for name, field in self.kinds.items()}
        self.folder.say("" if typed else text("path.missing"))
        if not typed or not any(wanted.values()):
            self.say("" if any(wanted.values()) else text("bulk.nothing"))
            return
        self._run(True)
        self._tell("")
        self._window.archive.ask(
            "bulk", self._question(Path(typed).expanduser(), wanted), done=self._done,
            failed=self._failed, always=True,
        )  # fmt: skip

    def _question(self, folder: Path, wanted: dict[str, bool]) -> Any:
        asked = self._asked

        def write(archive: Archive) -> Written:
            from app.desk.archive.bulk import Wanted, export

            return export(archive, asked, folder, Wanted(**wanted))

        return self._window.works.watched("bulk", write, aside=self)

    def _done(self, written: Written) -> None:
        self._run(False)
        if not self.isVisible():
            # It stepped aside: what was written is said where it was asked for.
            self.open()
        self._tell(written.text)
        self.main.set_words(text("bulk.again" if written.finished else "bulk.go_on"))

    def _failed(self, sentence: str) -> None:
        self._run(False)
        self._tell("")
        self.say(sentence)
        self.main.set_words(text("bulk.go_on"))

    def _run(self, running: bool) -> None:
        self.is_running = running
        self.main.set_reason(text("bulk.running") if running else "")
        self.cancel.set_words(text("bulk.stop") if running else text("bulk.close"))

    def _tell(self, words: str) -> None:
        self.progress.setText(words)
        self.progress.setVisible(bool(words))
        self.fit()
