"""The board and what fills it as pictures."""

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


LIST = (
    "Bay\tPhase\tSerial no.\tCore\tClass\tRatio\tRct [ohm]\tOrder\n"
    "Bay 4\tL1\t70411\t1\tPX Ek 250 V Ie 30 mA Rct 3 ohm\t600/1\t3\tx\n"
    "\t\t\t2\t5P20 15 VA\t600-300/1\t\t\n"
    "\tL2\t70412\t1\tPX Ek 250 V Ie 30 mA Rct 3 ohm\t6oo/1\t3\t\n"
    "Bay 5\tL1 L2 L3\t\t1\t0.5S FS5 10 VA\t1.2 kA/5\t\t\n"
)


def _list(stage: Stage) -> None:
    from app.exchange import tables

    stage.do("plates_in")
    stage.app.activeModalWidget()._look(tables.from_text(LIST))


def _compared(stage: Stage) -> None:
    stage.window.place = (stage.core(1), "excitation")
    stage.do("references")
    page = stage.window.front
    for field, words in (
        (page.source, "certificate 77-4"),
        (page.expected["class"], "5P10 15 VA"),
        (page.expected["ratio"], "600-300/1"),
        (next(iter(page.values.values())), "2.61"),
        (list(page.values.values())[1], "0.2o"),
    ):
        field.line.setText(words)
        field.line.setModified(True)
        field.line.entered.emit()
        stage.rest()


def _person(stage: Stage) -> None:
    stage.do("people")
    stage.window.front._edit_person()


def _missing(stage: Stage) -> None:
    """Two plates not compared with the transformers, and everything that is missing in one list."""
    import dataclasses

    for ct in stage.window.session.view.job.positions[0].cts[:2]:
        changed = dataclasses.replace(ct, plate_confirmed=False)
        stage.window.session.do(lambda desk, job_id, ct=changed: desk.set_ct(job_id, ct))
    stage.do("board")
    stage.window.front.all_missing.click()
    stage.rest()


SCENES: dict[str, Callable[[Stage], object]] = {
    "board": lambda stage: stage.do("board"),
    "board-finding": _finding,
    "board-only": _only,
    "board-missing": _missing,
    "plates-in": _list,
    "compared": _compared,
    "person": _person,
}
