"""The worksheet of every test there is, with the view that belongs to it, as pictures."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from ctcore.procedures import PROCEDURES

if TYPE_CHECKING:
    from tests.pictures.window import Stage

SAMPLE = "every_test"
# Views that stand beside a test when they are asked for; the others open by themselves.
VIEWS = {"burden": "triangle", "injection": "phasors", "resistance": "turns"}


def _open(stage: Stage) -> None:
    from app.ui.shell.session import take_sample

    session = stage.window.session
    if session.view is None or session.view.job.job_id != f"sample-{SAMPLE.replace('_', '-')}":
        session.start(lambda desk: take_sample(desk, SAMPLE))
        stage.wait(lambda: session.view.job.positions[0].cts[0].cores[0].procedures)


def _test(procedure_id: str) -> Callable[[Stage], None]:
    def scene(stage: Stage) -> None:
        _open(stage)
        stage.window.go_to(stage.core(1), procedure_id)
        stage.rest()

    return scene


def _view(procedure_id: str) -> Callable[[Stage], None]:
    def scene(stage: Stage) -> None:
        _test(procedure_id)(stage)
        page = stage.window.front.page
        for _ in range(4):
            if page.views.row is None or page.views.row.view_id != VIEWS[procedure_id]:
                page.switch_view()
                stage.rest()

    return scene


SCENES: dict[str, Callable[[Stage], object]] = {
    "every-board": lambda stage: (_open(stage), stage.do("board")),
    **{f"test-{test.procedure_id}": _test(test.procedure_id) for test in PROCEDURES},
    **{f"view-{view_id}": _view(procedure_id) for procedure_id, view_id in VIEWS.items()},
}
