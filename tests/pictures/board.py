"""The board as pictures: a sample job, one with its findings, one of 1 200 cores."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.pictures.window import Stage


def _finding(stage: Stage) -> None:
    stage.do("board")
    stage.window.front._next_finding()


def _only(stage: Stage) -> None:
    stage.do("board")
    stage.window.front._filter("refer")


SCENES: dict[str, Callable[[Stage], object]] = {
    "board": lambda stage: stage.do("board"),
    "board-finding": _finding,
    "board-only": _only,
}
