"""Key presses in keying three cores, against the characters of their readings and one Enter each.

A window is worked by key events as a user would: what a field offers from the sister phase is kept by Enter,
an answer of a choice is its number, fields that need no answer are passed by Enter, cautions are read. Every
press counts, also those that go from step to step and from phase to phase.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

NAMES = ("key_presses_3_cores",)


class _Waiting:
    """What a hand wants of the bot of a test, without one."""

    def __init__(self, app: Any) -> None:
        self._app = app

    def addWidget(self, _widget: Any) -> None:  # noqa: N802 - named as in the tests
        """Nothing is left to do: the window is closed at the end."""

    def waitUntil(self, condition: Callable[[], bool], timeout: int) -> None:  # noqa: N802
        """Until it is so."""
        end = time.monotonic() + timeout / 1000.0
        while not condition():
            assert time.monotonic() < end, "the window does not get there"
            self._app.processEvents()
            time.sleep(0.001)


def run(short: bool = False) -> list[dict[str, Any]]:
    """Presses divided by characters and Enters; the count of both stands beside it."""
    from PySide6.QtCore import QEvent, Qt
    from PySide6.QtWidgets import QApplication

    from app.ui import theme
    from tests.app import test_journey as journey
    from tests.app.ui.desk_of_window import Hand

    class Counting(Hand):
        """A hand that counts what it presses."""

        presses = 0

        def type(self, words: str) -> None:
            """Letters, one press each."""
            self.presses += len(words)
            super().type(words)

        def press(self, key: Any, modifier: Any = Qt.KeyboardModifier.NoModifier) -> None:
            """One key; one that is held beside it counts too."""
            self.presses += 1 if modifier == Qt.KeyboardModifier.NoModifier else 2
            super().press(key, modifier)

        def answer_next(self, quantity_id: str, words: str) -> None:
            """Go to a field and answer it; what stands in it already is only kept."""
            journey._go_to(self, quantity_id)
            if self.focus.text().strip() != words and not (words.isdigit() and _shows(self.focus, words)):
                self.type(words)
            self.press(journey.ENTER)

    def keys(hand: Any, *answers: tuple[str, str]) -> None:
        for quantity_id, words in answers:
            hand.answer_next(quantity_id, words)

    app = QApplication.instance() or QApplication([])
    theme.load_fonts()
    theme.apply(app)
    before, journey._keys = journey._keys, keys
    try:
        with tempfile.TemporaryDirectory() as folder:
            hand = Counting(_Waiting(app), Path(folder))
            hand.open_store()
            journey._start_job(hand)
            journey._fill_plate(hand)
            hand.control(Qt.Key.Key_W)
            hand.presses = 0
            for index, phase in enumerate(journey.PHASES):
                journey._key_phase(hand, phase, first=index == 0)
            presses, least = hand.presses, _least(hand.window.session.view.job)
            hand.close()
            hand.window.deleteLater()
            app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    finally:
        journey._keys = before
    return [
        {"name": NAMES[0], "value": presses, "unit": "presses", "reference": least,
         "ratio": presses / least, "runs": 1}
    ]  # fmt: skip


def _shows(field: Any, number: str) -> bool:
    """Whether a choice shows the answer of that number already."""
    quantity = field.quantity
    if quantity is None or quantity.kind != "choice":
        return False
    place = int(number) - 1
    return place < len(quantity.choices) and field.text().strip() in (
        quantity.choices[place].words, quantity.choices[place].value,
    )  # fmt: skip


def _least(job: Any) -> int:
    """Characters of every reading as typed, one for a choice, and an Enter each."""
    from ctcore.quantities import quantity

    return sum(
        (1 if quantity(entry.quantity_id).kind == "choice" else len(entry.as_typed_text)) + 1
        for entry in job.readings
    )
