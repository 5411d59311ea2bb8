"""What stands around the readings is printed: permits, what is done about a deviation, witnesses, checks."""

from __future__ import annotations

import dataclasses
from types import SimpleNamespace
from typing import cast

from app.report.content import Sheet
from app.report.sections.decisions import _doing
from app.report.sections.opening import _permits
from app.report.sections.people import watched_words
from ctcore.evidence import Watched
from ctcore.job import Deviation, Header, Permit, Person


def test_permits_are_told_with_number_and_times() -> None:
    permit = Permit(kind_text="permit to work", number_text="88", issued_text="07:40", cancelled_text="16:10")
    header = Header(number_text="1", permits_text="general notice", permits=(permit,))
    sheet = SimpleNamespace(job=SimpleNamespace(header=header))
    told = _permits(sheet)  # type: ignore[arg-type]
    assert told == "general notice; permit to work 88 issued 07:40 cancelled 16:10"


def test_what_is_done_about_a_deviation_is_told_by_whom_and_until_when() -> None:
    made = Deviation(
        deviation_id="d", core_id="", procedure_id="", found_text="x", disposition_text="replace",
        owner_text="A. Rill", due_on="2031-06-01",
    )  # fmt: skip
    assert _doing(made) == "replace by A. Rill until 2031-06-01"
    assert _doing(dataclasses.replace(made, disposition_text="", owner_text="", due_on=None)) == ""


def test_a_witness_stands_with_the_tests_that_were_watched_on_each_core() -> None:
    people = (
        Person(person_id="v", name_text="V. Iewer", witnessed=("ratio", "excitation")),
        Person(person_id="w", name_text="W. Atcher", watched=(_all("c1"), _all("c2"))),
        Person(person_id="x", name_text="X. Aminer", watched=(_all("c1"),)),
    )
    told = [watched_words(_two_cores(), person) for person in people]
    assert told == [
        ["watched ratio and polarity, excitation"],
        ["watched ratio and polarity on every core"],
        ["watched ratio and polarity on the place c1"],
    ]


def _all(core_id: str) -> Watched:
    return Watched(core_id=core_id, procedures=("ratio",))


def _two_cores() -> Sheet:
    members = [SimpleNamespace(core=SimpleNamespace(core_id=one)) for one in ("c1", "c2")]
    outline = SimpleNamespace(sets=[SimpleNamespace(members=members)])
    made = SimpleNamespace(outline=outline, place=lambda core_id: f"the place {core_id}")
    return cast(Sheet, made)
