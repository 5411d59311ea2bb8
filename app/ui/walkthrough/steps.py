"""The steps of a first job: one row each, with what its key does and what it looks like when it is done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from app.desk import View
    from ctcore.job import Core


@dataclass(frozen=True, slots=True)
class Stand:
    """Where the user stands: the job on the table, the core that is gone through, the page in hand."""

    view: View | None = None
    core_id: str = ""
    page_id: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One step; its sentence stands in the text table under `walk.<step_id>`.

    `verb_id` is the line of the menu that leads there; a step of a test is gone to on the worksheet instead.
    """

    step_id: str
    done: Callable[[Stand], bool]
    verb_id: str = ""
    procedure_id: str = ""


def core_of(stand: Stand) -> Core | None:
    """The core that is gone through; None while there is none."""
    if stand.view is None:
        return None
    cores = (core for position in stand.view.job.positions for ct in position.cts for core in ct.cores)
    return next((core for core in cores if core.core_id == stand.core_id), None)


def core_to_walk(view: View) -> str:
    """The first core of a job on which nothing was measured, else the first one; "" where there is none."""
    begun = {core_id for core_id, _ in view.takes}
    cores = [core.core_id for position in view.job.positions for ct in position.cts for core in ct.cores]
    return next((core_id for core_id in cores if core_id not in begun), cores[0] if cores else "")


def _plate_keyed(stand: Stand) -> bool:
    """The core has its class, and its plate was compared with the one on the transformer."""
    if stand.view is None:
        return False
    cts = (ct for position in stand.view.job.positions for ct in position.cts)
    ct = next((ct for ct in cts if any(core.core_id == stand.core_id for core in ct.cores)), None)
    core = core_of(stand)
    return ct is not None and core is not None and bool(core.class_text) and ct.plate_confirmed


def _tested(procedure_id: str) -> Callable[[Stand], bool]:
    """Whether a test has readings enough for a verdict; one that is not planned, or left out, is passed."""

    def done(stand: Stand) -> bool:
        core = core_of(stand)
        if stand.view is None or core is None:
            return False
        from app.desk.board import verdicts_of
        from ctcore.procedures import planned

        if procedure_id not in {test.procedure_id for test in planned(core)}:
            return True
        if core.why_left_out(procedure_id):
            return True
        if (core.core_id, procedure_id) not in stand.view.takes:
            return False
        stale = core.core_id in stand.view.stale_core_ids
        return not stale and verdicts_of(stand.view, core.core_id).get(procedure_id) != "not tested"

    return done


def _frozen(stand: Stand) -> bool:
    """A revision was frozen; what is practised in training never is."""
    return stand.view is not None and (bool(stand.view.revisions) or stand.view.job.header.training)


STEPS: Final[tuple[Step, ...]] = (
    Step("job", lambda stand: stand.view is not None, verb_id="new_job"),
    Step("set", lambda stand: core_of(stand) is not None, verb_id="add_set"),
    Step("plate", _plate_keyed, verb_id="plate"),
    Step("insulation", _tested("insulation"), procedure_id="insulation"),
    Step("resistance", _tested("resistance"), procedure_id="resistance"),
    Step("ratio", _tested("ratio"), procedure_id="ratio"),
    Step("excitation", _tested("excitation"), procedure_id="excitation"),
    Step("findings", lambda stand: stand.page_id == "board", verb_id="board"),
    Step("sheet", lambda stand: stand.page_id == "preview", verb_id="preview"),
    Step("freeze", _frozen, verb_id="hand_in"),
)


# Steps for which invented readings are offered in training; they stand in the text table under `walk.try.`.
TRIED: Final = ("job", "set", "insulation", "resistance", "ratio", "excitation")


def moved_on(number: int, stand: Stand) -> int:
    """The step that is to be done, from the one of that number on; the count of steps where all are done."""
    while number < len(STEPS) and STEPS[number].done(stand):
        number += 1
    return number
