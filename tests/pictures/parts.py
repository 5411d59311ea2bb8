"""The worksheet part by part, as a small screen shows it, and the help, as pictures."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.pictures.window import Stage


def _part(name: str) -> Callable[[Stage], None]:
    def scene(stage: Stage) -> None:
        stage.window.go_to(stage.core(1), "excitation")
        stage.rest()
        if stage.window.front.page.body.part:
            stage.window.front.page.choose_part(name)

    return scene


def _help(stage: Stage) -> None:
    stage.window.show_page("help")
    stage.window.front.search.setText("knee")


SCENES: dict[str, Callable[[Stage], object]] = {
    **{f"part-{name}": _part(name) for name in ("readings", "plot", "findings")},
    "help": _help,
}
