"""What a job is compared with beside its limits, and the papers around it: one verb per act.

Figures of a certificate or a previous test with their source, what drawing or certificate say of a plate,
what is done about a departure, permits, and which tests a witness watched.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from app.desk.outline import OutlineVerbs
from app.desk.view import Change, Refusal
from app.exchange import tsv
from ctcore import entry, figures
from ctcore.errors import BadInput
from ctcore.evidence import Watched
from ctcore.job import (
    CT,
    Core,
    Deviation,
    Expected,
    Job,
    LimitOverride,
    Permit,
    ReferenceCurve,
    ReferencePoint,
    References,
    ReferenceValue,
    places,
)
from ctcore.procedures import PROCEDURES
from ctcore.quantities import quantity

Kind = Literal["certificate", "previous"]
ExpectedName = Literal["class", "ratio", "terminals", "serial", "resistance"]
EXPECTED: Final[tuple[ExpectedName, ...]] = ("class", "ratio", "terminals", "serial", "resistance")
# What a certificate or a previous sheet states of each pair of terminals.
COMPARED: Final = ("r_winding_75degc_ohm", "ratio_error_percent", "phase_displacement_arcmin")
DISPOSITIONS: Final = ("accept as it is", "rework", "concession", "replace")
_DIFFERENCE: Final = "expected/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """Where a plate is not what drawing or certificate say."""

    core_id: str
    name: ExpectedName
    expected_text: str
    found_text: str
    source_text: str

    @property
    def deviation_id(self) -> str:
        """The deviation that notes it."""
        return f"{_DIFFERENCE}{self.core_id}/{self.name}"

    @property
    def words(self) -> str:
        """The difference as one sentence."""
        said = f"The {self.name} is {self.found_text or 'not stated'} on the plate"
        return f"{said} and {self.expected_text} in {self.source_text}."


class ReferenceVerbs(OutlineVerbs):
    """What stands beside the readings to be compared with."""

    def set_reference_value(
        self,
        job_id: str,
        core_id: str,
        row: str,
        quantity_id: str,
        *,
        kind: Kind,
        typed_text: str,
        source_text: str,
    ) -> Change:
        """Keep a figure of a certificate or a previous test; an empty text takes it out."""
        references = self._of(job_id).job.references
        others = tuple(
            one
            for one in references.values
            if (one.core_id, one.row, one.quantity_id, one.kind) != (core_id, row, quantity_id, kind)
        )
        if not typed_text.strip():
            return self._set(job_id, dataclasses.replace(references, values=others))
        field = quantity(quantity_id)
        found = entry.parse(
            typed_text, field.unit, decimal_comma=self.settings.decimal_comma(), quantity=field.name
        )
        if found.over_range or found.under_range:
            raise BadInput(field.name, typed_text, "a bound is nothing to compare with")
        made = ReferenceValue(
            core_id=core_id, row=row, quantity_id=quantity_id, kind=kind, value=found.value,
            source_text=_source(source_text),
        )  # fmt: skip
        return self._set(job_id, dataclasses.replace(references, values=(*others, made)))

    def set_reference_curve(
        self,
        job_id: str,
        core_id: str,
        tap_id: str,
        *,
        kind: Kind,
        block_text: str,
        source_text: str,
        frequency_hz: float,
        voltage_response: str,
        current_response: str = "",
    ) -> Change:
        """Keep a curve pasted as two columns, volts and current; an empty block takes it out.

        Every cell goes through the parser; one that is refused refuses the block and names its row.
        """
        references = self._of(job_id).job.references
        others = tuple(
            one for one in references.curves if (one.core_id, one.tap_id, one.kind) != (core_id, tap_id, kind)
        )
        if not block_text.strip():
            return self._set(job_id, dataclasses.replace(references, curves=others))
        made = ReferenceCurve(
            core_id=core_id,
            tap_id=tap_id,
            kind=kind,
            source_text=_source(source_text),
            frequency_hz=frequency_hz,
            voltage_response=voltage_response,
            current_response=current_response,
            points=self._points(block_text),
        )
        return self._set(job_id, dataclasses.replace(references, curves=(*others, made)))

    def set_expected(
        self, job_id: str, core_id: str, name: ExpectedName, *, value_text: str, source_text: str
    ) -> Change:
        """Keep what papers say of a core, a difference as a deviation; an empty text takes it out."""
        job = self._of(job_id).job
        others = tuple(one for one in job.references.expected if (one.core_id, one.name) != (core_id, name))
        if value_text.strip():
            others = (
                *others,
                Expected(
                    core_id=core_id,
                    name=name,
                    value_text=value_text.strip(),
                    source_text=_source(source_text),
                ),
            )
        told = dataclasses.replace(job, references=dataclasses.replace(job.references, expected=others))
        new = self._with_differences(told)
        return self._outline(job_id, new, "references", {"core_id": core_id, "name": name}, "expected plate")

    def note_differences(self, job_id: str) -> Change:
        """Make each difference between plate and papers a deviation; open ones that are gone are let go."""
        job = self._of(job_id).job
        return self._outline(
            job_id, self._with_differences(job), "deviation", {"job_id": job_id}, "differences"
        )

    def settle_deviation(
        self, job_id: str, deviation_id: str, *, disposition_text: str, owner_text: str, due_on: str | None
    ) -> Change:
        """Say what is done about a deviation, by whom, until when."""
        if due_on:
            try:
                date.fromisoformat(due_on)
            except ValueError:
                raise BadInput("due date", due_on, "is written as 2031-05-04") from None
        job = self._of(job_id).job
        if all(one.deviation_id != deviation_id for one in job.deviations):
            raise Refusal("This deviation is not in the job any more. Nothing was changed.")
        deviations = tuple(
            dataclasses.replace(
                one,
                disposition_text=disposition_text.strip(),
                owner_text=owner_text.strip(),
                due_on=due_on or None,
            )
            if one.deviation_id == deviation_id
            else one
            for one in job.deviations
        )
        new = dataclasses.replace(job, deviations=deviations)
        return self._outline(job_id, new, "deviation", {"deviation_id": deviation_id}, "deviation")

    def set_limit(
        self,
        job_id: str,
        rule: str,
        core_id: str,
        quantity_id: str,
        *,
        low_text: str,
        high_text: str,
        reason_text: str,
        person_text: str,
    ) -> Change:
        """Judge a core by a limit of the office in place of the book's, with its reason and the name of who
        set it; without figures the book's limit holds again."""
        job = self._of(job_id).job
        others = tuple(
            one for one in job.references.limit_overrides if (one.rule, one.core_id) != (rule, core_id)
        )
        low, high = self._limit(quantity_id, low_text), self._limit(quantity_id, high_text)
        if low is not None or high is not None:
            made = LimitOverride(
                rule=rule, core_id=core_id, limit_low=low, limit_high=high,
                reason_text=_stated("reason", reason_text, "say why another limit holds here"),
                person_text=_stated("name", person_text, "say who of the office set the limit"),
            )  # fmt: skip
            if low is not None and high is not None and low > high:
                raise BadInput("limit", low_text, "the lower limit lies above the upper one")
            others = (*others, made)
        return self.set_references(job_id, dataclasses.replace(job.references, limit_overrides=others))

    def _limit(self, quantity_id: str, typed_text: str) -> float | None:
        """A typed limit in the base unit; None where nothing was typed."""
        if not typed_text.strip():
            return None
        field = quantity(quantity_id)
        found = entry.parse(
            typed_text, field.unit, decimal_comma=self.settings.decimal_comma(),
            quantity=f"limit of {field.name}",
        )  # fmt: skip
        if found.over_range or found.under_range:
            raise BadInput("limit", typed_text, "a limit is a plain number")
        return found.value

    def set_permits(self, job_id: str, permits: Sequence[Permit]) -> Change:
        """Keep the safety documents of the job: numbers and times only."""
        for permit in permits:
            if not permit.number_text.strip():
                raise BadInput("permit", permit.kind_text, "a safety document has a number")
        header = dataclasses.replace(self._of(job_id).job.header, permits=tuple(permits))
        return self.set_header(job_id, header)

    def set_watched(self, job_id: str, person_id: str, tests: Mapping[str, Iterable[str]]) -> Change:
        """Say which tests of which cores a person watched: the ids of the tests by that of the core."""
        job = self._of(job_id).job
        person = next((one for one in job.people if one.person_id == person_id), None)
        cores = [place.core.core_id for place in places(job)]
        if person is None or not set(tests) <= set(cores):
            missed = "core" if person else "person"
            raise Refusal(f"This {missed} is not in the job. Nothing was changed.")
        order = [test.procedure_id for test in PROCEDURES]
        watched = tuple(
            Watched(core_id=core_id, procedures=tuple(sorted(set(tests[core_id]), key=order.index)))
            for core_id in cores
            if set(tests.get(core_id, ()))
        )
        return self.set_person(job_id, dataclasses.replace(person, watched=watched))

    def _with_differences(self, job: Job) -> Job:
        found = {one.deviation_id: one for one in differences(job)}
        kept = tuple(
            one
            for one in job.deviations
            if not one.deviation_id.startswith(_DIFFERENCE)
            or one.deviation_id in found
            or one.decision_text
            or one.disposition_text
        )
        known = {one.deviation_id for one in kept}
        at_utc = self._stamp()[0]
        made = tuple(
            Deviation(
                deviation_id=one.deviation_id,
                core_id=one.core_id,
                procedure_id="",
                found_text=one.words,
                person_id=self.settings.me()[0],
                at_utc=at_utc,
            )
            for one in found.values()
            if one.deviation_id not in known
        )
        return dataclasses.replace(job, deviations=(*kept, *made))

    def _set(self, job_id: str, references: References) -> Change:
        job = self._of(job_id).job
        new = dataclasses.replace(job, references=references)
        return self._outline(job_id, new, "references", {"job_id": job_id}, "references")

    def _points(self, block_text: str) -> tuple[ReferencePoint, ...]:
        names = [str(number + 1) for number in range(tsv.MOST_ROWS)]
        columns = ["v_excitation_v", "i_excitation_a"]
        seen = tsv.preview(block_text, columns, rows=names, decimal_comma=self.settings.decimal_comma())
        if seen.refusal_text:
            raise BadInput("curve", None, seen.refusal_text.rstrip("."))
        taken = {column.quantity_id: index for index, column in enumerate(seen.columns)}
        if not set(columns) <= taken.keys():
            raise BadInput("curve", None, "two columns are wanted, volts and current")
        points = []
        for row in seen.rows:
            cells = [row.cells[taken[name]] for name in columns]
            bad = next((cell for cell in cells if cell.value_text is None), None)
            if bad is not None:
                raise BadInput(f"row {row.row} of the curve", bad.text, bad.reason or "is empty")
            volts, amperes = (float(cell.value_text or "") for cell in cells)
            points.append(ReferencePoint(voltage_v=volts, current_a=amperes))
        return tuple(points)


def differences(job: Job) -> list[Difference]:
    """Every place where a plate differs from what its papers say; words are compared without their spaces."""
    cores = {place.core.core_id: place for place in places(job)}
    found = []
    for one in job.references.expected:
        place = cores.get(one.core_id)
        if place is None:
            continue
        plate = plate_text(place.ct, place.core, one.name)
        if _plain(plate) != _plain(one.value_text):
            found.append(
                Difference(
                    core_id=one.core_id,
                    name=one.name,
                    expected_text=one.value_text,
                    found_text=plate,
                    source_text=one.source_text,
                )
            )
    return found


def plate_text(ct: CT, core: Core, name: ExpectedName) -> str:
    """What the plate says of one thing, as it is written in papers."""
    if name == "class":
        return core.class_text
    if name == "serial":
        return ct.serial_text
    if name == "terminals":
        return ", ".join(tap.terminals_text for tap in core.taps)
    if name == "resistance":
        value = core.r_winding_75degc_plate_ohm
        return "" if value is None else f"{figures.text(value, 'ohm')} ohm"
    primaries = sorted({tap.i_primary_rated_a for tap in core.taps}, reverse=True)
    shown = "-".join(figures.text(value, "A") for value in primaries)
    return f"{shown}/{figures.text(core.taps[0].i_secondary_rated_a, 'A')}"


def _source(source_text: str) -> str:
    if not source_text.strip():
        raise BadInput("source", source_text, "say where the figure is from, such as a certificate number")
    return source_text.strip()


def _stated(name: str, words: str, reason: str) -> str:
    if not words.strip():
        raise BadInput(name, words, reason)
    return words.strip()


def _plain(text: str) -> str:
    return "".join(text.casefold().replace("ω", "ohm").replace("Ω", "ohm").replace("–", "-").split())
