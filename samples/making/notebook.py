"""A day's entries as a technician would key them: each text through the entry parser, each minute in turn."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta, timezone

from ctcore import entry
from ctcore.job import METHOD_ROW, Acknowledgement, Reading, Remark
from ctcore.quantities import quantity

_NAMESPACE = uuid.UUID("6f2d6c1e-6e0b-4c0e-9d0a-0c6a5f3a7b10")
# The instrument that each column of the four measured tests is read from.
FOUR_TESTS = {
    "v_test_v": "insulation-tester",
    "insulation_resistance_ohm": "insulation-tester",
    "r_measured_ohm": "ohmmeter",
    "i_test_a": "ohmmeter",
    "v_secondary_v": "voltmeter",
    "v_primary_v": "millivoltmeter",
    "v_excitation_v": "voltmeter",
    "i_excitation_a": "ammeter",
}


@dataclass(slots=True)
class Step:
    """Where one goes on keying: a take of a test on a core, and the instrument of each column."""

    core_id: str
    procedure_id: str
    take: int
    instruments: Mapping[str, str]


@dataclass(slots=True)
class Notebook:
    """Readings in the order of entry, with ids and times that are the same at every run."""

    job_id: str
    person_id: str
    device_id: str
    starts: datetime
    readings: list[Reading] = field(default_factory=list)
    acknowledgements: list[Acknowledgement] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    _now: datetime = field(init=False)

    def __post_init__(self) -> None:
        self._now = self.starts

    def wait(self, seconds: float) -> None:
        """Let time pass, as for walking to the next phase."""
        self._now += timedelta(seconds=seconds)

    def read_caution(self, core_id: str, procedure_id: str, caution_id: str) -> None:
        """Note a caution as read."""
        self.acknowledgements.append(
            Acknowledgement(
                caution_id=caution_id,
                core_id=core_id,
                procedure_id=procedure_id,
                person_id=self.person_id,
                at_utc=self._stamp(8),
                utc_offset_minutes=self._offset_minutes(),
            )
        )

    def remark(self, core_id: str, procedure_id: str, text: str) -> None:
        """Add a remark."""
        self.remarks.append(
            Remark(
                remark_id=self._id(f"remark {len(self.remarks)}"),
                core_id=core_id,
                procedure_id=procedure_id,
                text=text,
                person_id=self.person_id,
                at_utc=self._stamp(20),
                utc_offset_minutes=self._offset_minutes(),
            )
        )

    def method(self, step: Step, **texts: str) -> None:
        """Key method fields."""
        for quantity_id, text in texts.items():
            self._key(step, METHOD_ROW, quantity_id, text, 3)

    def row(self, step: Step, row: str, **texts: str) -> list[Reading]:
        """Key one row, the fields in the order given."""
        return [self._key(step, row, quantity_id, text, 9) for quantity_id, text in texts.items()]

    def strike(self, readings: list[Reading], reason_text: str) -> None:
        """Strike readings, with the reason."""
        for old in readings:
            self._add(
                replace(
                    old, supersedes_id=old.reading_id, struck=True, value_text=None, reason_text=reason_text
                ),
                2,
            )

    def correct(self, old: Reading, text: str, reason_text: str) -> Reading:
        """Key another text in place of a reading."""
        made = self._meaning(old.quantity_id, text)
        return self._add(
            replace(old, as_typed_text=text, supersedes_id=old.reading_id, reason_text=reason_text, **made), 6
        )

    def _key(self, step: Step, row: str, quantity_id: str, text: str, seconds: float) -> Reading:
        return self._add(
            Reading(
                reading_id="",
                core_id=step.core_id,
                procedure_id=step.procedure_id,
                take=step.take,
                row=row,
                quantity_id=quantity_id,
                as_typed_text=text,
                person_id=self.person_id,
                at_utc="",
                utc_offset_minutes=0,
                device_id=self.device_id,
                device_seq=0,
                instrument_id=None if row == METHOD_ROW else step.instruments.get(quantity_id),
                **self._meaning(quantity_id, text),
            ),
            seconds,
        )

    def _add(self, reading: Reading, seconds: float) -> Reading:
        number = len(self.readings) + 1
        made: Reading = replace(
            reading,
            reading_id=self._id(f"reading {number}"),
            at_utc=self._stamp(seconds),
            utc_offset_minutes=self._offset_minutes(),
            device_seq=number,
        )
        self.readings.append(made)
        return made

    @staticmethod
    def _meaning(quantity_id: str, text: str) -> dict[str, object]:
        its = quantity(quantity_id)
        if its.kind != "number":
            return {"value_text": text}
        found = entry.parse(text, its.unit)
        return {
            "value_text": found.value_text,
            "over_range": found.over_range,
            "under_range": found.under_range,
        }

    def _id(self, text: str) -> str:
        return str(uuid.uuid5(_NAMESPACE, f"{self.job_id} {text}"))

    def _stamp(self, seconds: float) -> str:
        self.wait(seconds)
        return self._now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")

    def _offset_minutes(self) -> int:
        offset = self._now.utcoffset()
        return 0 if offset is None else int(offset.total_seconds() // 60)


def clock(year: int, month: int, day: int, hour: int, minute: int, *, offset_minutes: int) -> datetime:
    """A moment on the wall clock of the site."""
    return datetime(year, month, day, hour, minute, tzinfo=timezone(timedelta(minutes=offset_minutes)))
