"""The program on itself as pictures, by day and night: `python -m tests.pictures.program --out DIR`."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from tests.pictures import asked
from tests.pictures.window import Stage, opened_stage


def main() -> int:
    return asked.run("tests.pictures.program", __doc__, _draw)


def _draw(out: Path, theme_name: str, scale: int, width: int, only: str) -> int:
    from app.settings import training_folder

    height = dict(asked.SIZES)[width]
    out.mkdir(parents=True, exist_ok=True)
    for scenes, in_training in ((SCENES, False), (TRAINING, True)):
        with tempfile.TemporaryDirectory() as name:
            folder = training_folder(Path(name)) if in_training else Path(name)
            with opened_stage(folder, theme_name, width // scale, height // scale) as stage:
                stage.out, stage.suffix = out, f"{width}-{theme_name}-{scale}00"
                for name, scene in scenes.items():
                    if only in name:
                        scene(stage)
                        stage.shoot(name)
    return 0


def _fault(stage: Stage) -> None:
    stage.window.go_to(stage.core(1), "excitation")
    stage.window.faults.report(RuntimeError())


SCENES: dict[str, Callable[[Stage], object]] = {
    "fault-told": _fault,
    "preferences-all": lambda stage: stage.do("preferences"),
    "preferences-found": lambda stage: _found(stage),
    "preferences-wrong": lambda stage: _wrong(stage),
    "who": lambda stage: _who(stage),
    "diagnostics": lambda stage: (stage.do("diagnostics"), stage.rest()),
}
TRAINING: dict[str, Callable[[Stage], object]] = {
    "training-worksheet": lambda stage: stage.window.go_to(stage.core(1), "excitation"),
    "training-jobs": lambda stage: stage.do("jobs"),
    "training-hand-in": lambda stage: _refused(stage),
}


def _found(stage: Stage) -> None:
    stage.do("preferences")
    stage.app.activeModalWidget().search.setText("copies")


def _wrong(stage: Stage) -> None:
    from tests.pictures.window import _type_in

    stage.do("preferences")
    dialog = stage.app.activeModalWidget()
    _type_in(dialog.answers["copies_folder_text"], "/media/stick that is not there")
    dialog.confirmed.emit()


def _who(stage: Stage) -> None:
    from app.desk.people_here import sit_down

    for name in ("M. Oster", "A. Brink", "J. Velde"):
        stage.window.session.fetch(lambda desk, name=name: sit_down(desk, name), done=lambda _number: None)
    stage.rest()
    stage.do("who")
    stage.rest()


def _refused(stage: Stage) -> None:
    stage.do("hand_in")
    stage.app.activeModalWidget().confirmed.emit()
    stage.rest()


if __name__ == "__main__":
    sys.exit(main())
