"""The tests of a day for one core, in their order, by its class, its duty and how far the job goes.

A plan is offered; what is chosen is kept in `Core.procedures`, and a core that names none is measured by the
usual four tests.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from ctcore.job import Core, Job
from ctcore.judgement.cells import Trouble
from ctcore.judgement.plate import classes_of
from ctcore.judgement.times import began, ended
from ctcore.procedures import PROCEDURES, planned
from ctcore.takes import Take

# Practice: words of the work that tell a first energising; common practice, no source.
_NEW_WORDS: Final = ("new", "install", "commission", "replac", "first")
_SPARE_WORDS: Final = ("spare", "unused")
# What goes wrong with a core turned round even where nothing was rewired on purpose.
_DIRECTION_WORDS: Final = ("differential", "distance", "directional", "restricted")
# Practice: relays whose papers ask for a knee voltage; common practice, no source.
_KNEE_WORDS: Final = ("differential", "restricted", "high impedance", "high-impedance")


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One test of a plan, and why it stands where it does."""

    procedure_id: str
    why: str


WHY: Final = {
    "visual": "Before anything is touched: plate, links as found, earths counted.",
    "links": "As found before a link is touched, as left at the end; checked by a second person.",
    "insulation": "The cheapest proof that it is safe to put volts on.",
    "insulation_time": "How the resistance grows, where one minute alone leaves doubt.",
    "resistance": "Direct current magnetises, so that it comes before demagnetising.",
    "kick": "Polarity where no ratio test tells it; it magnetises too.",
    "demagnetising": "After all direct current, before ratio and excitation.",
    "ratio": "Every tap, polarity with it.",
    "excitation": "Upwards only; running it down to zero demagnetises again.",
    "burden": "With the circuit restored towards the relay.",
    "duty": "What the relay asks, once winding, knee and loop are known.",
    "links_back": "Every link and one earth, counted and proved.",
    "injection": "The whole circuit to the relay, which the parts cannot prove.",
    "load": "Direction with real voltages, once it is in service.",
}


def plan_of(job: Job, core: Core) -> tuple[PlanLine, ...]:
    """The tests offered for one core, in the order of the day.

    Source: the order is common practice, no source; demagnetising before the excitation test, and that gapped
    cores seldom need it, is IEC 61869-2:2012, Annex 2B.2.1 (seen).
    """
    duty = core.duty_text.casefold()
    wanted = {"visual", "links", "insulation", "resistance", "ratio", "excitation", "links_back"}
    if not _is_gapped(core):
        wanted |= {"demagnetising"}
    if not any(word in duty for word in _SPARE_WORDS):
        wanted |= {"burden"}
        if any(word in duty for word in _KNEE_WORDS):
            wanted |= {"duty"}
        if any(word in job.header.work_type_text.casefold() for word in _NEW_WORDS):
            wanted |= {"injection", "load"}
        elif any(word in duty for word in _DIRECTION_WORDS):
            wanted |= {"load"}
    return tuple(
        PlanLine(test.procedure_id, WHY[test.procedure_id])
        for test in PROCEDURES
        if test.procedure_id in wanted
    )


@dataclass(frozen=True, slots=True)
class PlanStep:
    """One test of a core's plan with the times at which it was done.

    `began_utc` and `ended_utc` are those of its first and last reading, empty before; `took_s` is what lies
    between them in all takes. `left_out_text` says why it is not done.
    """

    procedure_id: str
    why: str
    began_utc: str = ""
    ended_utc: str = ""
    took_s: float | None = None
    left_out_text: str = ""

    @property
    def is_open(self) -> bool:
        """Whether it waits to be begun."""
        return not self.began_utc and not self.left_out_text


def steps_of(core: Core, takes: Mapping[tuple[str, str], tuple[Take, ...]]) -> tuple[PlanStep, ...]:
    """The plan of a core, each test with its times as they were measured; nothing is estimated.

    A test with readings that the plan does not name stands after the others.
    """
    names = [test.procedure_id for test in planned(core)]
    names += [
        test.procedure_id
        for test in PROCEDURES
        if test.procedure_id not in names and (core.core_id, test.procedure_id) in takes
    ]
    return tuple(_step(core, name, takes.get((core.core_id, name), ())) for name in names)


def _step(core: Core, procedure_id: str, takes: tuple[Take, ...]) -> PlanStep:
    known = [(began(take), ended(take)) for take in takes if began(take)]
    return PlanStep(
        procedure_id,
        WHY.get(procedure_id, ""),
        began_utc=min((start for start, _ in known), default=""),
        ended_utc=max((end for _, end in known), default=""),
        took_s=sum(_seconds(start, end) for start, end in known) if known else None,
        left_out_text=core.why_left_out(procedure_id),
    )


def _seconds(start_utc: str, end_utc: str) -> float:
    return (datetime.fromisoformat(end_utc) - datetime.fromisoformat(start_utc)).total_seconds()


def with_plan(job: Job, core: Core) -> Core:
    """The core with the offered plan taken."""
    return replace(core, procedures=tuple(line.procedure_id for line in plan_of(job, core)))


def _is_gapped(core: Core) -> bool:
    classes = classes_of(core)
    if isinstance(classes, Trouble):
        return False
    return all(accuracy.class_name in ("TPY", "TPZ") for accuracy in classes)
