"""What a blank field form says: place, plate, order, cautions, questions, lines with limits, hook-up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from app import progress
from app.record.canonical import canonical, digest
from app.report.forms.limits import limits_of
from app.report.wording import head_unit, tap_words
from app.words import caution, figures, procedure_in_words, said
from ctcore import plain, safety
from ctcore.hookup import Drawing, circuit_of, leads_of, setup_of
from ctcore.job import METHOD_ROW, Core, Job, Place, places
from ctcore.procedure import FieldSpec, Procedure, Scene
from ctcore.procedures import planned
from ctcore.quantities import quantity
from ctcore.takes import Row, Take

# Format: a form drawn otherwise has another number.
_LAYOUT_VERSION: Final = 2
_POINT_ROWS: Final = 16
_MOST_COLUMNS: Final = 5


@dataclass(frozen=True, slots=True)
class FormsInput:
    """A job and what of it is wanted: cores and tests by their ids; nothing named means all planned."""

    job: Job
    core_ids: tuple[str, ...] = ()
    procedure_ids: tuple[str, ...] = ()
    paper: str = ""

    @property
    def paper_name(self) -> str:
        """The paper asked for, else that of the job."""
        return self.paper or self.job.header.paper


@dataclass(frozen=True, slots=True)
class Blank:
    """An empty cell: its caption, the answers to tick, and those that are ticked already."""

    caption: str
    options: tuple[str, ...] = ()
    ticked: str = ""


@dataclass(frozen=True, slots=True)
class LineOf:
    """A line of the table: what is read, and what it will be judged by."""

    words: str
    limits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Form:
    """One test of one core."""

    place_text: str
    test_text: str
    plate: tuple[tuple[str, str], ...]
    order: tuple[tuple[str, bool], ...]
    cautions: tuple[tuple[str, str], ...]
    method: tuple[Blank, ...]
    rows_heading: str
    columns: tuple[Blank, ...]
    lines: tuple[LineOf, ...]
    limits: tuple[str, ...]
    hookup: Drawing | None = None
    leads: tuple[str, ...] = ()

    @property
    def beside(self) -> bool:
        """Whether its lines stand in two columns: points of a curve, of which there are many."""
        return len(self.lines) == _POINT_ROWS and len(self.columns) <= 3


def form_number(given: FormsInput) -> str:
    """Eight figures that stand for all that the form says; the same job and choice give the same.

    Only figures, since letters are misread from a wet page.
    """
    job = given.job
    said = {
        "layout": _LAYOUT_VERSION,
        "job": [job.job_id, plain.flatten(job.header)],
        "plates": [plain.flatten(position) for position in job.positions],
        "references": plain.flatten(job.references),
        "instruments": [plain.flatten(one) for one in job.instruments],
        "wanted": [list(given.core_ids), list(given.procedure_ids), given.paper_name],
    }
    number = int(digest(canonical(said))[:12], 16) % 100_000_000
    return f"{number // 10_000:04d}-{number % 10_000:04d}"


def forms_of(given: FormsInput) -> list[Form]:
    """The forms in the order in which the cores stand on the sheet and the tests are done."""
    return [
        _form(given.job, place, test, number)
        for place in progress.each(places(given.job), "core")
        if not given.core_ids or place.core.core_id in given.core_ids
        for number, test in enumerate(planned(place.core), start=1)
        if not given.procedure_ids or test.procedure_id in given.procedure_ids
    ]


def _form(job: Job, place: Place, test: Procedure, number: int) -> Form:
    assumed = _assumed(job, place.core, test)
    limits = limits_of(job, place, test, assumed)
    asked = [spec for spec in test.columns if _is_asked(spec, assumed)]
    if len(asked) > _MOST_COLUMNS:
        asked = [spec for spec in asked if spec.required][:_MOST_COLUMNS]
    lines = _lines(place.core, test, limits)
    named = {row for row, _ in lines}
    take = Take(place.core.core_id, test.procedure_id, 1, Row(METHOD_ROW, {}))
    setup = setup_of(place.ct, place.core, test.procedure_id, take)
    return Form(
        place_text=_place_text(place),
        test_text=f"{number} {procedure_in_words(test).name}",
        plate=_plate(place),
        order=tuple((procedure_in_words(one).short_name, one is test) for one in planned(place.core)),
        cautions=_cautions(job, place, test),
        method=tuple(_blank(place.core, spec, assumed) for spec in test.method if _is_asked(spec, assumed)),
        rows_heading={"taps": said("Terminals"), "points": said("Point")}.get(
            test.row_kind, procedure_in_words(test).rows_heading
        ),
        columns=tuple(_blank(place.core, spec, {}) for spec in asked),
        lines=tuple(line for _, line in lines),
        limits=tuple(words for row, group in limits.items() if row not in named for words in group),
        hookup=None if setup is None else circuit_of(setup),
        leads=() if setup is None else tuple(f"{one.from_text} – {one.to_text}" for one in leads_of(setup)),
    )


def _assumed(job: Job, core: Core, test: Procedure) -> dict[str, str]:
    """The answers that decide which columns there are: as answered last on this core, else the first."""
    deciding = {spec.shown_when[0] for spec in (*test.method, *test.columns) if spec.shown_when}
    needed = {spec.quantity_id for spec in test.method if spec.required}
    found = {name: quantity(name).choices[0].value if name in needed else "" for name in sorted(deciding)}
    for reading in job.readings:
        its = (reading.core_id, reading.procedure_id) == (core.core_id, test.procedure_id)
        if its and reading.quantity_id in found and reading.value_text:
            found[reading.quantity_id] = reading.value_text
    return found


def _is_asked(spec: FieldSpec, assumed: Mapping[str, str]) -> bool:
    return spec.shown_when is None or assumed.get(spec.shown_when[0]) in spec.shown_when[1]


def _blank(core: Core, spec: FieldSpec, assumed: Mapping[str, str]) -> Blank:
    row = quantity(spec.quantity_id)
    unit = head_unit(row)
    caption = f"{row.heading}, {unit}" if unit else row.heading
    if spec.quantity_id == "tap_id":
        return Blank(caption, tuple(tap.terminals_text for tap in core.taps))
    chosen = assumed.get(spec.quantity_id, "")
    ticked = next((choice.words for choice in row.choices if choice.value == chosen), "")
    return Blank(caption, tuple(choice.words for choice in row.choices), ticked)


def _lines(core: Core, test: Procedure, limits: Mapping[str, tuple[str, ...]]) -> list[tuple[str, LineOf]]:
    if test.row_kind == "points":
        return [(str(number), LineOf(str(number))) for number in range(1, _POINT_ROWS + 1)]
    if test.row_kind == "taps":
        rows = [(tap.tap_id, tap_words(tap)) for tap in core.taps]
    else:
        rows = [(row.row, row.words) for row in test.rows_of(core)]
    return [(row, LineOf(words, limits.get(row, ()))) for row, words in rows]


def _place_text(place: Place) -> str:
    parts = (place.position.name_text, place.ct.phase_text, said("core {number}", number=place.core.number))
    return ", ".join(part for part in parts if part)


def _plate(place: Place) -> tuple[tuple[str, str], ...]:
    ct, core = place.ct, place.core
    service = core.tap(core.service_tap_id) if core.service_tap_id else None
    rct = core.r_winding_75degc_plate_ohm
    pairs = (
        (said("Serial number"), ct.serial_text or said("to be read: ______________")),
        (said("Class"), core.class_text or said("to be read: ______________")),
        (said("Terminals and ratios"), ", ".join(tap_words(tap) for tap in core.taps)),
        (said("Tap in service"), tap_words(service) if service else said("to be read: ________")),
        (
            said("Maker, type, year"),
            ", ".join(part for part in (ct.maker_text, ct.type_text, ct.year_text) if part),
        ),
        (said("P1 faces"), place.position.p1_faces_text),
        (said("Um"), f"{figures.text(ct.um_kv, '1')} kV" if ct.um_kv is not None else ""),
        (said("Rct at 75 °C on plate"), "" if rct is None else figures.with_unit(rct, "ohm")),
    )
    return tuple((label, value) for label, value in pairs if value)


def deferring_text() -> str:
    """That law, owner and the person in charge come first."""
    return caution("deferring", "text")


def _cautions(job: Job, place: Place, test: Procedure) -> tuple[tuple[str, str], ...]:
    """In short: the hazard, and what to do; a figure that is not known yet takes its sentence with it."""
    scene = Scene(job, place.position, place.ct, place.core)
    placed = safety.placeholders(safety.figures_of(scene, test.procedure_id, None))
    known = {name: figures.marked(words) for name, words in placed.items()}
    return tuple(
        (_known(caution(name, "hazard"), known), _known(caution(name, "so"), known)) for name in test.cautions
    )


def _known(words: str, known: Mapping[str, str]) -> str:
    sentences: Sequence[str] = words.format(**known).split(". ")
    kept = ". ".join(one for one in sentences if safety.NOT_KNOWN not in one)
    return kept if not kept or kept.endswith(".") else f"{kept}."
