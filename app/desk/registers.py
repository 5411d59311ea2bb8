"""What the office keeps for every job: people, instruments, limit sets, templates. One file, written whole.

The office writes the file out and laptops take it in: an entry is known by its number, what differs is taken
over after it was shown, and nothing that a laptop has alone is lost.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any, Final, Literal

from app.desk.limit_sets import LimitSet, demand_founded
from app.desk.outline import OutlineVerbs
from app.desk.view import Change, Refusal
from app.record.canonical import canonical
from app.record.files import write_whole
from ctcore import plain
from ctcore.errors import BadInput
from ctcore.job import Header, Instrument, Person

FILE: Final = "registers.json"
FORMAT: Final = "coreleaf-registers"
VERSION: Final = 2
_LARGEST_BYTES: Final = 20_000_000
Kind = Literal["people", "instruments", "limit_sets", "templates"]
KINDS: Final[tuple[Kind, ...]] = ("people", "instruments", "limit_sets", "templates")


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """Where a job for a customer starts: title block, phases, frequency, paper, sheet, and a limit set.

    `core_classes` are the classes of the cores that a set of the customer usually has; `sheet_language` is
    empty where the preferences say it.
    """

    template_id: str
    name_text: str
    customer_text: str = ""
    site_text: str = ""
    title_text: str = ""
    work_type_text: str = ""
    paper: Literal["A4", "Letter"] = "A4"
    frequency_rated_hz: float = 50.0
    phase_names: tuple[str, ...] = ("L1", "L2", "L3")
    set_id: str = ""
    sheet_language: Literal["", "en", "de"] = ""
    core_classes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Registers:
    """Everything that the office keeps for every job, each list in the order of its names."""

    people: tuple[Person, ...] = field(default=())
    instruments: tuple[Instrument, ...] = field(default=())
    limit_sets: tuple[LimitSet, ...] = field(default=())
    templates: tuple[Template, ...] = field(default=())


Entry = Person | Instrument | LimitSet | Template


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """What taking a file in changes of one entry; `fields` are those that differ, each with both texts."""

    kind: Kind
    name_text: str
    is_new: bool
    fields: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming:
    """A file of registers that was read and not taken in yet."""

    registers: Registers
    differences: tuple[Difference, ...]
    only_here_count: int


def id_of(entry: Entry) -> str:
    """The number by which an entry is known wherever it goes."""
    names = ("person_id", "instrument_id", "set_id", "template_id")
    for name, kind in zip(names, (Person, Instrument, LimitSet, Template), strict=True):
        if isinstance(entry, kind):
            return str(getattr(entry, name))
    raise TypeError(entry)


def kind_of(entry: Entry) -> Kind:
    """The list in which an entry stands."""
    return KINDS[(Person, Instrument, LimitSet, Template).index(type(entry))]


def read(path: Path) -> Registers:
    """The registers in a file; Refusal where it is none, or a newer program wrote it."""
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise Refusal(f"Nothing was changed. {path.name} is too large to be a file of registers.")
        found: Any = json.loads(path.read_text("utf-8"))
        if found["format"] != FORMAT:
            raise ValueError(FORMAT)
        version, body = int(found["version"]), dict(found["registers"])
    except OSError as problem:
        raise Refusal(f"Nothing was changed. {path.name} cannot be read ({problem.strerror}).") from problem
    except (ValueError, KeyError, TypeError) as problem:
        raise Refusal(f"Nothing was changed. {path.name} is no file of registers.") from problem
    if version > VERSION:
        raise Refusal(f"Nothing was changed. {path.name} was written by a newer Coreleaf: use that one.")
    try:
        return _sorted(plain.build(Registers, body, where="registers"))
    except BadInput as problem:
        raise Refusal(f"Nothing was changed. {path.name}: {problem.quantity}, {problem.reason}.") from problem


def write(path: Path, registers: Registers) -> None:
    """Put the registers into a file, whole or not at all. OSError where it cannot be written."""
    body = {"format": FORMAT, "version": VERSION, "registers": plain.flatten(registers)}
    write_whole(path, canonical(body))


def with_entry(registers: Registers, entry: Entry) -> Registers:
    """The registers with an entry more, or in the place of the one that had its number."""
    kind = kind_of(entry)
    others = tuple(one for one in getattr(registers, kind) if id_of(one) != id_of(entry))
    return _sorted(dataclasses.replace(registers, **{kind: (*others, entry)}))


def differences(here: Registers, coming: Registers) -> Iterator[Difference]:
    """What is new in those that come, and what of them says something else."""
    for kind in KINDS:
        known = {id_of(one): one for one in getattr(here, kind)}
        for one in getattr(coming, kind):
            before = known.get(id_of(one))
            if before is None:
                yield Difference(kind=kind, name_text=one.name_text, is_new=True, fields=())
            elif before != one:
                yield Difference(
                    kind=kind, name_text=one.name_text, is_new=False, fields=tuple(_fields(before, one))
                )


class RegisterVerbs(OutlineVerbs):
    """The registers of the office, kept beside the store."""

    @property
    def registers_path(self) -> Path:
        """Where they lie."""
        return self.settings.folder / FILE

    def registers(self) -> Registers:
        """What is kept; nothing where there is no file yet. Refusal where the file cannot be read."""
        return read(self.registers_path) if self.registers_path.exists() else Registers()

    def register(self, entry: Entry) -> Registers:
        """Keep an entry, or what changed of it."""
        if not entry.name_text.strip():
            raise Refusal("Nothing was changed. An entry needs a name, by which it is picked.")
        for day in (getattr(entry, "due_on", None), getattr(entry, "calibrated_on", None)):
            if day:
                _demand_day(day)
        if isinstance(entry, LimitSet):
            demand_founded(entry)
        return self._keep(with_entry(self.registers(), entry))

    def unregister(self, kind: Kind, entry_id: str) -> Registers:
        """Take an entry out; jobs that took it over keep what they have."""
        here = self.registers()
        left = tuple(one for one in getattr(here, kind) if id_of(one) != entry_id)
        return self._keep(dataclasses.replace(here, **{kind: left}))

    def write_registers(self, path: Path) -> None:
        """Write them out as a file for laptops. OSError where it cannot be written."""
        write(path, self.registers())

    def read_registers(self, path: Path) -> Incoming:
        """Read a file and say what taking it in would change; nothing is changed yet."""
        here, coming = self.registers(), read(path)
        known = {(kind, id_of(one)) for kind in KINDS for one in getattr(coming, kind)}
        only = sum((kind, id_of(one)) not in known for kind in KINDS for one in getattr(here, kind))
        return Incoming(registers=coming, differences=tuple(differences(here, coming)), only_here_count=only)

    def take_registers(self, coming: Registers) -> Registers:
        """Take over what came; an entry that only this computer has stays."""
        now = self.registers()
        for kind in KINDS:
            for one in getattr(coming, kind):
                now = with_entry(now, one)
        return self._keep(now)

    def use(self, job_id: str, entry: Person | Instrument | LimitSet) -> Change:
        """Name somebody or an instrument of the registers in the job, or judge it by a limit set from now on.

        What the job alone knows stays: what was checked before use, what was watched, a limit of one core.
        """
        job = self._of(job_id).job
        if isinstance(entry, LimitSet):
            return self.set_references(job_id, entry.put_into(job.references))
        if isinstance(entry, Instrument):
            known = next((one for one in job.instruments if one.instrument_id == entry.instrument_id), entry)
            checked = known.checked_before_use_text
            return self.set_instrument(job_id, dataclasses.replace(entry, checked_before_use_text=checked))
        its = next((one for one in job.people if one.person_id == entry.person_id), entry)
        return self.set_person(
            job_id, dataclasses.replace(entry, witnessed=its.witnessed, watched=its.watched)
        )

    def new_job_from(
        self, template: Template, *, number_text: str, title_text: str, site_text: str
    ) -> Change:
        """Start a job where a template says; what is typed goes before what the template has."""
        known = {one.set_id: one for one in self.registers().limit_sets}
        limits = known.get(template.set_id)
        if template.set_id and limits is None:
            raise Refusal(
                "No job was started. The template names a limit set that is not here: take the office's "
                "registers in once more, or choose another set in the template."
            )
        header = Header(
            number_text=number_text,
            title_text=title_text or template.title_text,
            site_text=site_text or template.site_text,
            customer_text=template.customer_text,
            work_type_text=template.work_type_text,
        )
        made = self.new_job(
            header,
            frequency_rated_hz=template.frequency_rated_hz,
            phase_names=template.phase_names,
            references=limits.references if limits else None,
        )
        job = made.view.job
        language = template.sheet_language or job.header.sheet_language
        header = dataclasses.replace(job.header, paper=template.paper, sheet_language=language)
        return made if header == job.header else self.set_header(job.job_id, header)

    def _keep(self, registers: Registers) -> Registers:
        write(self.registers_path, registers)
        return registers


def due_instruments(registers: Registers, *, until: str) -> list[Instrument]:
    """Instruments of the registers whose calibration ended or ends by that day, the earliest first."""
    due = [one for one in registers.instruments if one.due_on and one.due_on <= until]
    return sorted(due, key=lambda one: (one.due_on or "", one.name_text))


def _sorted(registers: Registers) -> Registers:
    return Registers(
        **{
            kind: tuple(
                sorted(getattr(registers, kind), key=lambda one: (one.name_text.casefold(), id_of(one)))
            )
            for kind in KINDS
        }
    )


def _fields(before: Entry, now: Entry) -> Iterator[tuple[str, str, str]]:
    was, became = plain.flatten(before), plain.flatten(now)
    for name, value in became.items():
        if was[name] != value:
            yield name, _said(was[name]), _said(value)


def _said(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(map(_said, value))
    if isinstance(value, dict):
        return " ".join(filter(None, map(_said, value.values())))
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _demand_day(day: str) -> None:
    try:
        date.fromisoformat(day)
    except ValueError:
        raise Refusal("Nothing was changed. A day is written as 2031-05-04.") from None
