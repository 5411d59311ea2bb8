"""What a sheet is made from, and what every section of it is given."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from app.report.blocks import Block, NewPage
from app.report.contents import Mark
from app.report.outline import Outline, outline_of
from app.report.whole_texts import shortened
from app.words import all_procedures, in_line, said
from ctcore.findings import Finding
from ctcore.job import Job
from ctcore.procedure import Derived

if TYPE_CHECKING:
    from app.record.revision import Declaration
    from app.record.sheet_files import Attached


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetInput:
    """All that a sheet shows. `digest_hex` and `declaration` are None for a draft.

    `findings` are those of the record as frozen; `rejudged` those of this version of the program where they
    differ, None where they are the same. `state_words` is the state as the screen names it. `signed` asks for
    the places of the signatures and of the approval; without it the sheet says that it carries none.
    `pictures` are the attached photographs by their digest; `files` go into the PDF, so that the sheet can be
    opened as a job again. `paper` is another size than the job asks for.
    """

    job: Job
    findings: Sequence[Finding]
    derived: Mapping[tuple[str, str, int], Sequence[Derived]]
    revision: int
    state_words: str
    digest_hex: str | None
    declaration: Declaration | None
    issued_at_utc: str | None
    program_version: str
    rejudged: Sequence[Finding] | None = None
    signed: bool = False
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    files: Sequence[Attached] = ()
    paper: Literal["A4", "Letter"] | None = None

    @property
    def frozen(self) -> bool:
        """Whether the sheet shows a frozen revision; a draft says so on every page."""
        return self.digest_hex is not None


@dataclass(frozen=True, slots=True)
class Sheet:
    """The input with its outline, and the long texts that are shortened in both, with their numbers."""

    given: SheetInput
    outline: Outline
    whole_texts: Mapping[str, int]

    @property
    def job(self) -> Job:
        """The job of the sheet."""
        return self.given.job

    def person(self, person_id: str) -> str:
        """The name of a person of the job; the id where the job names nobody."""
        found = next((person for person in self.job.people if person.person_id == person_id), None)
        return found.name_text if found else person_id or said("not stated")

    def place(self, core_id: str, procedure_id: str = "") -> str:
        """Where something belongs, in words: "S1 line side L2, core 1, ratio"."""
        words = said("whole job")
        for core_set in self.outline.sets:
            for member in core_set.members:
                if member.core.core_id == core_id:
                    words = said(
                        "{name} {label}, core {number}",
                        name=core_set.position.name_text,
                        label=member.label,
                        number=member.core.number,
                    )
        if core_id and words == said("whole job"):
            words = core_id
        test = next(
            (row.short_name for row in all_procedures() if row.procedure_id == procedure_id), procedure_id
        )
        return f"{words}, {in_line(test)}" if test else words


def sheet_of(given: SheetInput) -> Sheet:
    """The input set out in printing order."""
    given, whole_texts = shortened(given)
    outline = outline_of(given.job, given.findings, derived=given.derived, rejudged=given.rejudged)
    return Sheet(given, outline, whole_texts)


@dataclass(frozen=True, slots=True)
class Section:
    """One section: its name, which is that of its file, and what it puts on paper, which may be nothing.

    One with a `title` stands in the contents and in the outline of the reader.
    """

    section_id: str
    build: Callable[[Sheet], list[Block]]
    title: str = ""


def marked(section: Section, sheet: Sheet) -> list[Block]:
    """The blocks of a section, behind the mark that leads to them."""
    blocks = section.build(sheet)
    if not blocks or not section.title:
        return blocks
    first = 1 if isinstance(blocks[0], NewPage) else 0
    return [*blocks[:first], Mark(said(section.title)), *blocks[first:]]
