"""The line at the foot: what is saved, what the job is judged by, and the keys that help."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from app.ui.shell.lettering import Line, Panel
from app.ui.texts import text

if TYPE_CHECKING:
    from app.desk.copies import CopiesView

HEIGHT: Final = 28
_NARROW: Final = 900


class StatusLine(Panel):
    """Saved here, limits, and the help keys; reading only is said here as long as it lasts."""

    def __init__(self, parent: QWidget | None = None, *, training: bool = False) -> None:
        super().__init__("ground", rules="top", parent=parent)
        self.setFixedHeight(HEIGHT)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 0, 12, 0)
        row.setSpacing(24)
        self.saved = Line(role="status", bold=True)
        self.limits = Line(role="status")
        self.keys = Line(text("foot.keys"), role="status")
        self.training = Line(text("training.mark") if training else "", role="status", bold=True)
        self.training.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.training.setVisible(training)
        row.addWidget(self.training)
        row.addWidget(self.saved, 46)
        row.addWidget(self.limits, 30)
        row.addStretch(1)
        self.keys.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        row.addWidget(self.keys)
        self._saved_text = self._sending_text = self._folder_text = ""
        self._copy_text = text("foot.no_copy")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a narrow screen limits and keys give way to what is saved."""
        super().resizeEvent(event)
        wide = self.width() >= _NARROW
        self.limits.setVisible(wide)
        layout = self.layout()
        assert layout is not None
        layout.setSpacing(24 if wide else 8)
        self.keys.set_text(text("foot.keys" if wide else "foot.keys_short"))

    def show_saved(self, at_text: str) -> None:
        """Say when the last entry reached the disk."""
        self.show_saved_words(text("foot.saved", at=at_text) if at_text else "")

    def show_saved_words(self, words: str) -> None:
        """Say what reached the disk in the words of the page that wrote it."""
        self._saved_text = words
        self._tell_saved()

    def show_copies(self, view: CopiesView) -> None:
        """Say when the last copy was checked, and when the last one on another device."""
        away = text("foot.no_copy")
        if view.away_text:
            away = text("foot.copy_overdue" if view.overdue else "foot.copy_away", ago=view.away_text)
        checked = text("foot.copy", at=view.last_text) if view.last_text else ""
        self._copy_text = " · ".join(part for part in (checked, away) if part)
        self._tell_saved()

    def show_sending(self, words: str) -> None:
        """Say what waits for the archive."""
        self._sending_text = words
        self._tell_saved()

    def show_folder(self, words: str) -> None:
        """Say what waits in the exchange folder."""
        self._folder_text = words
        self._tell_saved()

    def _tell_saved(self) -> None:
        """Where it is saved, and where else."""
        told = (self._saved_text, self._sending_text, self._folder_text, self._copy_text)
        self.saved.set_text(" · ".join(part for part in told if part))

    def show_saving(self, slow: bool) -> None:
        """Say that writing takes long, or that it is over."""
        if slow:
            self.saved.set_text(text("foot.saving"))
        else:
            self._tell_saved()

    def show_limits(self, words: str) -> None:
        """Say what the job is judged by."""
        self.limits.set_text(words)
