"""The invented jobs that come with the program."""

from __future__ import annotations

from typing import TYPE_CHECKING

import samples
from app.ui.dialogs.frame import DialogFrame
from app.ui.shell.key_button import PlainButton
from app.ui.shell.lettering import Words
from app.ui.shell.session import take_sample
from app.ui.texts import text
from app.words import told

if TYPE_CHECKING:
    from app.ui.window import MainWindow


def _open_words(sample: samples.Sample) -> str:
    return text("samples.open", name=sample.name.replace("_", " "))


def _told(sample: samples.Sample) -> str:
    return told(f"sample.{sample.name}", sample.words)


class SamplesDialog(DialogFrame):
    """A button per sample; the first one is the main one."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(
            text("samples.heading"),
            main=_open_words(samples.FIRST),
            intro=text("samples.intro"),
            width=720,
            parent=window,
        )
        self._window = window
        self.buttons = {sample.name: self._button(sample) for sample in samples.SAMPLES[1:]}
        self.body.insertWidget(0, Words(_told(samples.FIRST), bold=True))
        self.confirmed.connect(lambda: self._take(samples.FIRST.name))

    def _button(self, sample: samples.Sample) -> PlainButton:
        button = PlainButton(_open_words(sample))
        button.setFixedHeight(48)
        button.clicked.connect(lambda: self._take(sample.name))
        self.body.addWidget(Words(_told(sample)))
        self.body.addWidget(button)
        return button

    def _take(self, name: str) -> None:
        self._window.session.start(
            lambda desk: take_sample(desk, name), refused=self.say, done=lambda _change: self.accept()
        )
