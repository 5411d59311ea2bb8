"""Every model of the window under Qt's own tester, filled by what the window itself shows."""

from __future__ import annotations

import importlib
import pkgutil

from PySide6.QtCore import QAbstractItemModel
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QAbstractItemView

import app.ui
from tests.pictures import program
from tests.pictures.window import SCENES, Stage, opened_stage

# Scenes that show each model once, with lines in it.
SHOWN = (
    "jobs", "board", "plates-in", "compared", "board-missing", "people", "registers", "registers-limits",
    "set-limits", "excitation", "readings-pasted", "help", "find", "questions", "sending", "exchange",
    "data-place", "copies", "attached", "watched", "hand-in", "preview", "archive-found", "filed", "years",
)  # fmt: skip
# What the scenes do not reach has a test of its own beside its page.
ELSEWHERE = {"QueueModel", "ToDecideModel", "CompareModel", "EnrolledModel", "TrailModel", "PlainModel"}


def classes() -> set[str]:
    """The name of every model class of the window that stands for something."""
    for found in pkgutil.walk_packages(app.ui.__path__, "app.ui."):
        importlib.import_module(found.name)
    known, names = [QAbstractItemModel], set()
    while known:
        its = known.pop()
        known += its.__subclasses__()
        if its.__module__.startswith("app.ui.") and not its.__subclasses__():
            names.add(its.__name__)
    return names


def hookup(stage: Stage) -> None:
    stage.window.go_to(stage.core(1), "excitation")
    stage.rest()
    stage.window.front.page.show_hookup()


MORE = {"who": program.SCENES["who"], "day": lambda stage: stage.do("day"), "hookup": hookup}


def walk(stage: Stage, qapp) -> set[str]:
    """Every model seen on the way through the scenes, each under its tester from then on."""
    testers: dict[int, tuple[QAbstractItemModel, QAbstractItemModelTester]] = {}
    for name in (*SHOWN, *MORE):
        {**SCENES, **MORE}[name](stage)
        stage.rest()
        for view in [one for one in qapp.allWidgets() if isinstance(one, QAbstractItemView)]:
            model = view.model()
            if model is not None and id(model) not in testers:
                warned = QAbstractItemModelTester.FailureReportingMode.Warning
                testers[id(model)] = (model, QAbstractItemModelTester(model, warned))
        stage.shoot(name)
    return {type(model).__name__ for model, _ in testers.values()}


def test_every_model_keeps_qts_rules(qapp, qtlog, tmp_path):
    with opened_stage(tmp_path, "day", 1366, 768) as stage:
        stage.out = tmp_path
        seen = walk(stage, qapp)
    assert classes() - seen - ELSEWHERE == set()
    assert [entry.message for entry in qtlog.records if "FAIL" in entry.message] == []
