"""Leads the panel through the window, and remembers per person how far a walk went."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject

from app.record.files import write_whole
from app.settings import Settings, profile_folder
from app.ui.walkthrough.steps import STEPS, Stand, core_of, core_to_walk, moved_on

if TYPE_CHECKING:
    from app.ui.walkthrough.panel import WalkPanel
    from app.ui.window import MainWindow

FILE: Final = "walk.json"


@dataclass(slots=True)
class Progress:
    """How far one person went: on or left, the step in hand, the job and the core that it is about."""

    on: bool = False
    step_id: str = STEPS[0].step_id
    job_id: str = ""
    core_id: str = ""

    @property
    def number(self) -> int:
        """The number of the step in hand; one that no program knows any more begins again."""
        if not self.step_id:
            return len(STEPS)
        return next((n for n, step in enumerate(STEPS) if step.step_id == self.step_id), 0)

    @number.setter
    def number(self, number: int) -> None:
        self.step_id = STEPS[number].step_id if number < len(STEPS) else ""


class Walk(QObject):
    """The walk of the window; its panel is made when it is first wanted, so that the start pays nothing."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._panel: WalkPanel | None = None
        self.progress = Progress()
        window.session.opened.connect(self._go_on_where_it_was)
        window.session.changed.connect(self.look)

    @property
    def panel(self) -> WalkPanel:
        """The panel at the foot of the window."""
        if self._panel is None:
            from app.ui.walkthrough.panel import WalkPanel

            made = WalkPanel(training=self._window.settings.training)
            made.go_asked.connect(self.go)
            made.past_asked.connect(self._past)
            made.again_asked.connect(self.restart)
            made.left.connect(self.leave)
            made.put_back.connect(lambda: self._window.front.first_focus())
            self._window.put_at_foot(made)
            self._panel = made
        return self._panel

    # What a person asks for

    def resume(self) -> None:
        """Go on where it was left; where it is on already the focus comes to its buttons."""
        if self.progress.on:
            self.panel.first_focus()
            return
        self.progress.on = True
        self.look()

    def restart(self) -> None:
        """Begin with the first step, on a core of the job in hand where nothing was measured yet."""
        self.progress = Progress(on=True)
        self.look()
        self._window.front.first_focus()

    def leave(self) -> None:
        """Put it away until it is asked for again; how far it went is kept."""
        self.progress.on = False
        self.panel.hide()
        self._keep()
        self._window.front.first_focus()

    def go(self, number: int) -> None:
        """Go to where a step is done: its page, dialog or test, with the focus in the first field."""
        step = STEPS[number]
        if step.procedure_id:
            self._window.go_to(self.progress.core_id, step.procedure_id)
        elif step.verb_id == "plate":
            self._window.page("plate").show_core(self.progress.core_id)
            self._window.show_page("plate")
        else:
            self._window.deeds.do(step.verb_id)

    def _past(self) -> None:
        self.progress.number = min(self.progress.number + 1, len(STEPS))
        self.look()
        self._window.front.first_focus()

    # What happens in the window

    def look(self, _change: object = None) -> None:
        """Something was entered, or another page is in hand: move on over every step that is done."""
        if not self.progress.on:
            return
        before = asdict(self.progress)
        stand = self._stand()
        self.progress.number = moved_on(self.progress.number, stand)
        self.panel.show_step(self.progress.number)
        self.panel.show()
        if asdict(self.progress) != before:
            self._keep()

    def _stand(self) -> Stand:
        view, mine = self._window.session.view, self.progress
        if view is not None and view.job.job_id != mine.job_id:
            # Another job begins with its own plate; the step of making one is done by then.
            mine.number = 0 if mine.job_id else mine.number
            mine.job_id, mine.core_id = view.job.job_id, ""
        if view is not None and core_of(Stand(view, mine.core_id)) is None:
            mine.core_id = core_to_walk(view)
        return Stand(view, mine.core_id, self._window.page_id)

    # What is remembered

    def _go_on_where_it_was(self) -> None:
        self.progress = Progress()
        found = _all(self._window.settings).get(self._window.settings.get("person_id"))
        if isinstance(found, dict):
            with suppress(TypeError):
                self.progress = Progress(**found)
        self.look()

    def _keep(self) -> None:
        settings = self._window.settings
        found = _all(settings)
        found[settings.me()[0]] = asdict(self.progress)
        path = profile_folder(settings.folder) / FILE
        # Assumption: a walk that cannot be remembered is begun again; nothing of a job hangs on it.
        with suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, json.dumps(found).encode())


def _all(settings: Settings) -> dict[str, Any]:
    try:
        found = json.loads((profile_folder(settings.folder) / FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}
