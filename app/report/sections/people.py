"""The people named on the sheet."""

from __future__ import annotations

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.words import all_procedures, in_line, said
from ctcore.job import Person


def build(sheet: Sheet) -> list[Block]:
    """Name, employer, authorisation."""
    if not sheet.job.people:
        return []
    columns = (Column(share=0.3), Column(share=0.35), Column(share=0.35))
    rows = [
        GridRow(
            (
                words(person.name_text, font=BOLD),
                words(person.employer_text or said("not stated")),
                words(
                    "; ".join(
                        (person.authorisation_text or said("not stated"), *watched_words(sheet, person))
                    )
                ),
            )
        )
        for person in sheet.job.people
    ]
    head = head_row(columns, (said("Name"), said("Employer"), said("Authorisation")))
    return [Heading(said("People")), Grid(columns, [head, *rows], heads=1)]


def watched_words(sheet: Sheet, person: Person) -> list[str]:
    """What a witness watched: the tests and their cores, cores of the same tests together."""
    every = [member.core.core_id for core_set in sheet.outline.sets for member in core_set.members]
    cores: dict[tuple[str, ...], list[str]] = {}
    for one in person.watched:
        cores.setdefault(one.procedures, []).append(one.core_id)
    found = [said("watched {tests}", tests=_tests(person.witnessed))] if person.witnessed else []
    for tests, core_ids in cores.items():
        where = ", ".join(sheet.place(core_id) for core_id in core_ids)
        found.append(
            said(
                "watched {tests} on {where}",
                tests=_tests(tests),
                where=where if set(core_ids) < set(every) else said("every core"),
            )
        )
    return found


def _tests(tests: tuple[str, ...]) -> str:
    names = {test.procedure_id: in_line(test.name) for test in all_procedures()}
    return ", ".join(names.get(test, test) for test in tests)


PEOPLE = Section("people", build, title="People")
