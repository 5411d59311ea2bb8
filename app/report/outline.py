"""The order of the sheet: cores of one number and class side by side by phase, with what was found."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from app.words import said
from ctcore.findings import Finding, Verdict, worst
from ctcore.job import CT, Core, Job, Position, Reading
from ctcore.judge import takes_of_record
from ctcore.procedure import Derived, Procedure
from ctcore.procedures import PROCEDURES, planned
from ctcore.takes import Row, Take, held_rows, takes_of

ABREAST = 3


@dataclass(frozen=True, slots=True)
class Member:
    """One core of a set: its phase, its transformer, its plate."""

    ct: CT
    core: Core

    @property
    def label(self) -> str:
        """The phase as the job names it; a bare figure would read as a value."""
        name = self.ct.phase_text
        return said("phase {name}", name=name) if name.isdecimal() else name or "CT"


@dataclass(frozen=True, slots=True)
class CoreSet:
    """Equal cores of one position, side by side; `absent` are the phases of the job without a transformer."""

    position: Position
    members: tuple[Member, ...]
    absent: tuple[str, ...] = ()

    @property
    def first(self) -> Core:
        """The core that stands for the plate of the set."""
        return self.members[0].core

    @property
    def title(self) -> str:
        """Position, core number and class in words."""
        return f"{self.place}, {self.name}"

    @property
    def place(self) -> str:
        """The name of the position."""
        return self.position.name_text or said("Position without a name")

    @property
    def name(self) -> str:
        """Core number and class in words."""
        return said(
            "core {number}: {plate}",
            number=self.first.number,
            plate=self.first.class_text or said("class not stated"),
        )

    @property
    def core_ids(self) -> tuple[str, ...]:
        """The cores of the set."""
        return tuple(member.core.core_id for member in self.members)


@dataclass(frozen=True, slots=True)
class Performance:
    """The takes of record of one subject of a test, one for each member; None where there is none."""

    subject: str
    takes: tuple[Take | None, ...]


@dataclass(frozen=True, slots=True)
class Outline:
    """Everything of the job in the order in which it is printed."""

    job: Job
    sets: tuple[CoreSet, ...]
    takes: Mapping[tuple[str, str], tuple[Take, ...]]
    findings: Mapping[tuple[str, str], tuple[Finding, ...]]
    derived: Mapping[tuple[str, str, int], Sequence[Derived]]
    rejudged: Mapping[tuple[str, str], tuple[Finding, ...]] | None
    readings: Mapping[str, tuple[Reading, ...]]

    def box(self, member: Member, procedure: Procedure) -> Verdict:
        """What one box of page 1 shows: the worst of a test on a core."""
        found = self.findings.get((member.core.core_id, procedure.procedure_id), ())
        if not found and procedure not in planned(member.core):
            return "not applicable"
        return worst(finding.verdict for finding in found)

    def of_core(self, member: Member) -> list[Finding]:
        """Every finding of a core in the order of the tests."""
        return [
            finding
            for key, group in self.findings.items()
            if key[0] == member.core.core_id
            for finding in group
        ]

    def whole(self, core_set: CoreSet) -> Verdict:
        """The verdict of a set."""
        return worst(finding.verdict for member in core_set.members for finding in self.of_core(member))

    def performances(self, core_set: CoreSet, procedure: Procedure) -> list[Performance]:
        """The takes of record of a set, aligned by what they are about."""
        by_subject: dict[str, list[Take | None]] = {}
        for number, member in enumerate(core_set.members):
            takes = self.record_takes(member.core.core_id, procedure)
            for place, take in enumerate(takes):
                subject = procedure.per_subject(take) if procedure.per_subject else ""
                if procedure.per_row:
                    # The last takes of all phases stand abreast, and so do those before that hold a row.
                    subject = str(len(takes) - place)
                by_subject.setdefault(subject, [None] * len(core_set.members))[number] = take
        return [Performance(subject, tuple(takes)) for subject, takes in by_subject.items()]

    def record_takes(self, core_id: str, procedure: Procedure) -> tuple[Take, ...]:
        """The takes of record of one core; where a test goes row by row, each with the rows that it holds."""
        takes = self.takes.get((core_id, procedure.procedure_id), ())
        found = takes_of_record(takes, procedure)
        return tuple(held_rows(takes, take) for take in found) if procedure.per_row else found

    def earlier_takes(self, core_id: str, procedure: Procedure) -> tuple[Take, ...]:
        """The takes that others replaced; where a test goes row by row, with the replaced rows alone."""
        takes = self.takes.get((core_id, procedure.procedure_id), ())
        of_record = {take.take for take in takes_of_record(takes, procedure)}
        if not procedure.per_row:
            return tuple(take for take in takes if take.take not in of_record)
        left = [replace(take, rows=_without(take, held_rows(takes, take))) for take in takes]
        return tuple(take for take in left if take.rows or take.take not in of_record)


def _without(take: Take, held: Take) -> tuple[Row, ...]:
    kept = {row.row for row in held.rows}
    return tuple(row for row in take.rows if row.row not in kept)


def outline_of(
    job: Job,
    findings: Iterable[Finding],
    *,
    derived: Mapping[tuple[str, str, int], Sequence[Derived]],
    rejudged: Iterable[Finding] | None,
) -> Outline:
    """The job set out in printing order."""
    by_core: dict[str, list[Reading]] = {}
    for reading in job.readings:
        by_core.setdefault(reading.core_id, []).append(reading)
    return Outline(
        job=job,
        sets=tuple(core_set for position in job.positions for core_set in _sets(job, position)),
        takes=takes_of(job.readings),
        findings=_grouped(findings),
        derived=derived,
        rejudged=None if rejudged is None else _grouped(rejudged),
        readings={core_id: tuple(group) for core_id, group in by_core.items()},
    )


def procedures_shown(outline: Outline, core_set: CoreSet) -> list[Procedure]:
    """The tests of a set: those planned for any member, and those with findings or readings all the same."""
    return [
        procedure
        for procedure in PROCEDURES
        if any(
            procedure in planned(member.core)
            or (member.core.core_id, procedure.procedure_id) in outline.findings
            or (member.core.core_id, procedure.procedure_id) in outline.takes
            for member in core_set.members
        )
    ]


def _grouped(findings: Iterable[Finding]) -> dict[tuple[str, str], tuple[Finding, ...]]:
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.core, finding.procedure or finding.rule.split(".")[0]), []).append(finding)
    return {key: tuple(group) for key, group in groups.items()}


def _sets(job: Job, position: Position) -> list[CoreSet]:
    alike: dict[tuple[int, str], list[Member]] = {}
    for ct in sorted(position.cts, key=lambda entry: _phase_order(job, entry)):
        for core in ct.cores:
            alike.setdefault((core.number, core.class_text), []).append(Member(ct, core))
    sets: list[CoreSet] = []
    for _, members in sorted(alike.items(), key=lambda entry: entry[0][0]):
        absent = _absent(job, members)
        sets += [
            CoreSet(position, tuple(members[start : start + ABREAST]), absent)
            for start in range(0, len(members), ABREAST)
        ]
    return sets


def _phase_order(job: Job, ct: CT) -> int:
    names = job.phase_names
    return names.index(ct.phase_text) if ct.phase_text in names else len(names)


def _absent(job: Job, members: Sequence[Member]) -> tuple[str, ...]:
    present = {member.ct.phase_text for member in members}
    missing = tuple(name for name in job.phase_names if name not in present)
    # A lone transformer, as in a neutral, is a set of one and misses nobody.
    return missing if 0 < len(missing) < len(job.phase_names) and len(members) > 1 else ()
