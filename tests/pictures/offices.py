"""The registers with a limit set and its limits, and the archive checked through, as pictures."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from app.desk.limit_sets import LimitSet, SetLimit
from app.desk.registers import Template
from ctcore.job import Instrument, Person
from tests.pictures import filed

if TYPE_CHECKING:
    from tests.pictures.window import Stage

LIMITS = LimitSet(
    set_id="s1",
    name_text="Fenmark Grid",
    decision_rule="guard_band",
    source_text="Specification FG-12, edition 3",
    set_by_text="B. Ruler",
    limits=(
        SetLimit(rule="resistance.limit", class_text="PX", limit_low=None, limit_high=2.4, clause_text="4.2"),
        SetLimit(rule="ratio.error", class_text="0.5", limit_low=-0.4, limit_high=0.4, clause_text="4.3"),
    ),
)
ENTRIES = (
    LIMITS,
    Person(person_id="p1", name_text="R. Tamm", employer_text="Rill and Bank Testing"),
    Instrument(
        instrument_id="i1", name_text="Ohmmeter 3", serial_text="M-7", spec_reading_percent=0.2,
        due_on="2031-06-30",
    ),
    Template(template_id="t1", name_text="Fenmark bay", customer_text="Fenmark Grid", set_id="s1"),
)  # fmt: skip


def _registers(stage: Stage, kind: str = "limit_sets") -> Any:
    for entry in ENTRIES:
        stage.window.session.desk.register(entry)
    stage.do("registers")
    page = stage.window.page("registers")
    page.show_kind(kind)
    stage.rest()
    return page


def _checked(stage: Stage) -> None:
    """What is not as it was filed, on a computer that was not told of the office."""
    page = filed._found(stage)
    trust = stage.window.settings.folder / "trust"
    away = trust.with_name("trust-elsewhere")
    trust.rename(away)
    page.check_everything()
    stage.wait(lambda: stage.app.activeModalWidget() is not None)
    away.rename(trust)


SCENES: dict[str, Callable[[Stage], object]] = {
    "registers-limits": _registers,
    "registers-templates": lambda stage: _registers(stage, "templates"),
    "set-limits": lambda stage: _registers(stage).show_limits(),
    "archive-checked": _checked,
}
