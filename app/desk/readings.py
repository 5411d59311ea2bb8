"""Verbs on readings: key, correct, strike, take again, name the instrument, acknowledge, remark."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from app.desk.core import DeskCore, OpenJob, new_id
from app.desk.view import Address, Change, Refusal
from app.words import quantity_in_words
from ctcore import entry, quantities
from ctcore.errors import BadInput
from ctcore.job import METHOD_ROW, Acknowledgement, Deviation, Reading, Remark
from ctcore.procedures import procedure
from ctcore.takes import EMPTY_CELL, Cell

MEANING_KEPT = "kept"


@dataclasses.dataclass(frozen=True, slots=True)
class _Meaning:
    value_text: str | None
    over_range: bool = False
    under_range: bool = False


class ReadingVerbs(DeskCore):
    """What a technician does at the instrument."""

    def key(self, job_id: str, address: Address, text: str, *, instrument_id: str | None = None) -> Change:
        """Keep what was typed in one field; a text that is no number is kept too and says so."""
        return self.key_many(job_id, [(address, text)], instrument_id=instrument_id)

    def key_many(
        self, job_id: str, entries: Sequence[tuple[Address, str]], *, instrument_id: str | None = None
    ) -> Change:
        """Keep what was typed or pasted in several fields, as one act and one undo."""
        its = self._of(job_id)
        self._demand_open(its)
        readings = [
            made
            for address, text in entries
            if (made := self._reading(its, address, text, instrument_id)) is not None
        ]
        if not readings:
            return self._changed(its, frozenset())
        first = readings[0]
        act = self._act(
            "reading" if first.supersedes_id is None else "correction",
            its.job,
            {
                "readings": [entry.reading_id for entry in readings],
                "core_id": first.core_id,
                "procedure_id": first.procedure_id,
                "take": first.take,
            },
            _texts_before(its, readings),
            [entry.as_typed_text for entry in readings],
        )
        what = quantities.quantity(first.quantity_id).name
        count = len(readings)
        return self._enter(
            job_id, act, readings, f"{what} {first.as_typed_text}" if count == 1 else f"{count} values"
        )

    def why_no_number(self, reading: Reading) -> str | None:
        """Why a kept text gave no value; None where it gave one."""
        if reading.value_text is not None or reading.struck or reading.withdrawn:
            return None
        row = quantities.quantity(reading.quantity_id)
        if row.kind == "choice":
            answers = ", ".join(choice.words for choice in quantity_in_words(row).choices)
            return f"one of {answers} is wanted"
        try:
            found = entry.parse(reading.as_typed_text, row.unit, decimal_comma=self.settings.decimal_comma())
        except BadInput as problem:
            return problem.reason
        return _why_impossible(row, found.value) or "type it again: it was kept under another decimal mark"

    def strike_row(
        self, job_id: str, core_id: str, procedure_id: str, take: int, row: str, reason_text: str
    ) -> Change:
        """Strike every reading of a row; they stay in the record with the reason."""
        its = self._of(job_id)
        found = next(
            (its_take for its_take in its.takes.get((core_id, procedure_id), ()) if its_take.take == take),
            None,
        )
        cells = found.row(row).cells.values() if found else ()
        return self._strike(job_id, [cell for cell in cells if not cell.empty], reason_text)

    def strike_cell(self, job_id: str, address: Address, reason_text: str) -> Change:
        """Strike one reading; it stays in the record with the reason."""
        cell = self._cell(self._of(job_id), address)
        return self._strike(job_id, [] if cell.empty else [cell], reason_text)

    def _strike(self, job_id: str, cells: list[Cell], reason_text: str) -> Change:
        its = self._of(job_id)
        self._demand_open(its)
        if not reason_text.strip():
            raise Refusal("A reading is struck with a reason. Nothing was changed.")
        standing = [reading for cell in cells for reading in cell.standing if not reading.struck]
        if not standing:
            raise Refusal("There is no reading to strike here.")
        readings = [
            self._following(
                old, as_typed_text="", value_text=None, struck=True, reason_text=reason_text.strip()
            )
            for old in standing
        ]
        act = self._act(
            "strike",
            its.job,
            {"readings": [old.reading_id for old in standing], "core_id": standing[0].core_id},
            [old.as_typed_text for old in standing],
            reason_text.strip(),
        )
        return self._enter(job_id, act, readings, "strike-out")

    def new_take(self, job_id: str, core_id: str, procedure_id: str, reason_text: str) -> Change:
        """Take a test again, with a reason; the earlier result stays beside it."""
        its = self._of(job_id)
        self._demand_open(its)
        if not reason_text.strip():
            raise Refusal("A test is taken again with a reason. Nothing was changed.")
        takes = its.takes.get((core_id, procedure_id), ())
        if not takes:
            raise Refusal("There is no earlier take; key the first reading.")
        address = Address(core_id, procedure_id, takes[-1].take + 1, METHOD_ROW, "retest_reason_text")
        return self.key(job_id, address, reason_text.strip())

    def use_instrument(
        self, job_id: str, core_id: str, procedure_id: str, take: int, quantity_id: str, instrument_id: str
    ) -> Change:
        """Say which instrument reads a column: for what is keyed from now on, and for the take's readings."""
        its = self._of(job_id)
        self._demand_open(its)
        if instrument_id not in {instrument.instrument_id for instrument in its.job.instruments}:
            raise Refusal("This instrument is not in the list of the job.")
        its.instruments[(procedure_id, quantity_id)] = instrument_id
        found = next((one for one in its.takes.get((core_id, procedure_id), ()) if one.take == take), None)
        readings = [
            self._following(current, instrument_id=instrument_id, reason_text="instrument named")
            for row in (found.rows if found else ())
            if (current := row.cell(quantity_id).current) is not None
            and current.instrument_id != instrument_id
        ]
        if not readings:
            return self._changed(its, frozenset())
        act = self._act(
            "instrument",
            its.job,
            {"core_id": core_id, "procedure_id": procedure_id, "take": take, "quantity_id": quantity_id},
            None,
            instrument_id,
        )
        return self._enter(job_id, act, readings, "instrument")

    def acknowledge(self, job_id: str, core_id: str, procedure_id: str, caution_id: str, text: str) -> Change:
        """Note that a caution was read at its step, by whom and when."""
        its = self._of(job_id)
        self._demand_open(its)
        at_utc, offset = self._stamp()
        made = Acknowledgement(
            caution_id=caution_id,
            core_id=core_id,
            procedure_id=procedure_id,
            person_id=self.settings.me()[0],
            at_utc=at_utc,
            utc_offset_minutes=offset,
            text=text,
        )
        new, _ = self._me_as_part(
            dataclasses.replace(its.job, acknowledgements=(*its.job.acknowledgements, made))
        )
        act = self._act(
            "caution",
            its.job,
            {"core_id": core_id, "procedure_id": procedure_id, "caution_id": caution_id},
            None,
            text,
        )
        return self._write_outline(job_id, new, act, "caution", undoable=False)

    def remark(self, job_id: str, core_id: str, procedure_id: str, text: str) -> Change:
        """Add a remark to a step, a core (empty procedure) or the job (empty core)."""
        its = self._of(job_id)
        self._demand_open(its)
        if not text.strip():
            raise Refusal("There is nothing to remark yet. Nothing was changed.")
        at_utc, offset = self._stamp()
        made = Remark(
            remark_id=new_id(),
            core_id=core_id,
            procedure_id=procedure_id,
            text=text.strip(),
            person_id=self.settings.me()[0],
            at_utc=at_utc,
            utc_offset_minutes=offset,
        )
        new, _ = self._me_as_part(dataclasses.replace(its.job, remarks=(*its.job.remarks, made)))
        act = self._act(
            "remark", its.job, {"core_id": core_id, "procedure_id": procedure_id}, None, made.text
        )
        return self._write_outline(job_id, new, act, "remark")

    def add_deviation(
        self, job_id: str, core_id: str, procedure_id: str, found_text: str, decision_text: str
    ) -> Change:
        """Note a departure and what was decided about it."""
        its = self._of(job_id)
        self._demand_open(its)
        if not found_text.strip():
            raise Refusal("Say first what was found. Nothing was changed.")
        made = Deviation(
            deviation_id=new_id(),
            core_id=core_id,
            procedure_id=procedure_id,
            found_text=found_text.strip(),
            decision_text=decision_text.strip(),
            person_id=self.settings.me()[0],
            at_utc=self._stamp()[0],
        )
        new, _ = self._me_as_part(dataclasses.replace(its.job, deviations=(*its.job.deviations, made)))
        act = self._act(
            "deviation",
            its.job,
            {"core_id": core_id, "procedure_id": procedure_id},
            None,
            [made.found_text, made.decision_text],
        )
        return self._write_outline(job_id, new, act, "deviation")

    # From text to reading

    def _cell(self, its: OpenJob, address: Address) -> Cell:
        takes = its.takes.get((address.core_id, address.procedure_id), ())
        take = next((one for one in takes if one.take == address.take), None)
        if take is None:
            return _withdrawn_cell(its, address)
        row = take.method if address.row == METHOD_ROW else take.row(address.row)
        cell = row.cell(address.quantity_id)
        return cell if cell.readings else _withdrawn_cell(its, address)

    def _reading(
        self, its: OpenJob, address: Address, text: str, instrument_id: str | None
    ) -> Reading | None:
        """The reading that a text makes; None where the field already says just that."""
        procedure(address.procedure_id)
        cell = self._cell(its, address)
        if not text.strip() and cell.empty:
            return None
        meaning = self._meaning(address.quantity_id, text)
        current = cell.current
        if current is not None and current.as_typed_text == text and current.value_text == meaning.value_text:
            return None
        at_utc, offset = self._stamp()
        key = (address.procedure_id, address.quantity_id)
        if instrument_id is not None:
            its.instruments[key] = instrument_id
        linked = its.instruments.get(key) if address.row != METHOD_ROW else None
        return Reading(
            reading_id=new_id(),
            core_id=address.core_id,
            procedure_id=address.procedure_id,
            take=address.take,
            row=address.row,
            quantity_id=address.quantity_id,
            as_typed_text=text,
            value_text=meaning.value_text,
            over_range=meaning.over_range,
            under_range=meaning.under_range,
            person_id=self.settings.me()[0],
            at_utc=at_utc,
            utc_offset_minutes=offset,
            device_id="",
            device_seq=0,
            instrument_id=instrument_id or linked,
            supersedes_id=cell.standing[-1].reading_id if cell.standing else None,
        )

    def _meaning(self, quantity_id: str, text: str) -> _Meaning:
        row = quantities.quantity(quantity_id)
        if row.kind == "text":
            return _Meaning(text.strip() or None)
        if row.kind == "choice":
            stripped = text.strip().casefold()
            told = (*row.choices, *quantity_in_words(row).choices)
            match = [c.value for c in told if stripped in (c.value.casefold(), c.words.casefold())]
            return _Meaning(match[0] if match else None)
        try:
            found = entry.parse(text, row.unit, decimal_comma=self.settings.decimal_comma())
        except BadInput:
            return _Meaning(None)
        if _why_impossible(row, found.value):
            return _Meaning(None)
        return _Meaning(found.value_text, found.over_range, found.under_range)

    def _following(self, old: Reading, **changes: object) -> Reading:
        """A reading that supersedes another one in the same field."""
        at_utc, offset = self._stamp()
        made: Reading = dataclasses.replace(
            old,
            reading_id=new_id(),
            supersedes_id=old.reading_id,
            person_id=self.settings.me()[0],
            at_utc=at_utc,
            utc_offset_minutes=offset,
            device_id="",
            device_seq=0,
            reason_text="",
            struck=False,
            withdrawn=False,
        )
        return dataclasses.replace(made, **changes)  # type: ignore[arg-type]


def _withdrawn_cell(its: OpenJob, address: Address) -> Cell:
    """What undo left in a field: such a row is none of its take; the next entry supersedes what stands."""
    entries = tuple(entry for entry in its.index.in_field(address) if entry.withdrawn)
    return Cell(entries, entries[-1:]) if entries else EMPTY_CELL


def _texts_before(its: OpenJob, readings: Sequence[Reading]) -> list[str] | None:
    """What stood in the fields of corrections; None where every field was empty."""
    if not any(entry.supersedes_id for entry in readings):
        return None
    stood = [its.index.superseded_by(entry) for entry in readings]
    return ["" if old is None else old.as_typed_text for old in stood]


def _why_impossible(row: quantities.Quantity, value: float) -> str | None:
    """Why a number cannot be a value of that quantity, whatever the limit."""
    if row.least is not None and value < row.least:
        return f"{row.name} cannot be below {row.least:g} in base units"
    if row.greatest is not None and value > row.greatest:
        return f"{row.name} cannot be above {row.greatest:g} in base units"
    return None
