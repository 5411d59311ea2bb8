"""A position of three phases with one or two cores each, keyed by hand, and what is noticed on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest

from ctcore.job import (
    CT,
    METHOD_ROW,
    Core,
    Header,
    Instrument,
    Job,
    Position,
    Reading,
    References,
    Tap,
    places,
)
from ctcore.notices import Notice, NotJudged, answers_of_core, notices
from ctcore.takes import takes_of
from tests.ctcore.notices.windings import VOLTS, Winding

PHASES = ("L1", "L2", "L3")
AS_ASKED = {
    "tap_id": "S1-S3",
    "frequency_hz": 50,
    "voltage_response": "mean",
    "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since",
    "primary_state": "open",
    "other_cores": "shorted",
    "links": "lifted",
}
FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 20, "t_winding_source": "surface_probe"}


def taps() -> tuple[Tap, ...]:
    return tuple(
        Tap(
            tap_id=name,
            terminals_text=name,
            i_primary_rated_a=amperes,
            i_secondary_rated_a=1.0,
            turns_secondary_count=amperes,
        )
        for name, amperes in (("S1-S2", 300.0), ("S1-S3", 600.0))
    )


@dataclass
class Bay:
    """Cores are named by phase and number: "L2-1"."""

    cores: int = 1
    classes: dict[str, str] = field(default_factory=dict)
    more: dict[str, dict[str, Any]] = field(default_factory=dict)
    instruments: tuple[Instrument, ...] = ()
    references: References = field(default_factory=References)
    p1_faces_text: str = ""
    ambient_degc: float | None = None
    readings: list[Reading] = field(default_factory=list)

    def key(
        self,
        core: str,
        procedure: str,
        row: str = METHOD_ROW,
        *,
        take: int = 1,
        instrument_id: str | None = None,
        **values: Any,
    ) -> None:
        for quantity, value in values.items():
            number = len(self.readings) + 1
            self.readings.append(
                Reading(
                    reading_id=f"r{number}",
                    core_id=core,
                    procedure_id=procedure,
                    take=take,
                    row=row,
                    quantity_id=quantity,
                    as_typed_text=str(value),
                    value_text=str(value),
                    person_id="p1",
                    at_utc=f"2026-05-04T{10 + number // 3600:02d}:{number // 60 % 60:02d}:{number % 60:02d}Z",
                    utc_offset_minutes=0,
                    device_id="d1",
                    device_seq=number,
                    instrument_id=instrument_id,
                )
            )

    def curve(self, core: str, rows: list[tuple[float, float]], *, take: int = 1, **method: Any) -> None:
        """Key a curve, taken as asked unless told; None leaves a field out."""
        asked = {name: value for name, value in {**AS_ASKED, **method}.items() if value is not None}
        self.key(core, "excitation", take=take, **asked)
        for number, (volts, amperes) in enumerate(rows, start=1):
            self.key(
                core,
                "excitation",
                str(number),
                take=take,
                v_excitation_v=f"{volts:.5g}",
                i_excitation_a=f"{amperes:.5g}",
            )

    def windings(self, **faulty: Winding) -> None:
        """Key the curves of core 1 of all phases: healthy ones a little apart, and those that are named."""
        for phase, spread in zip(PHASES, (1.0, 1.03, 0.97), strict=True):
            healthy = Winding(i_magnetising_a=0.040 * spread, i_loss_a=0.020 * spread)
            self.curve(f"{phase}-1", faulty.get(phase, healthy).curve(VOLTS))

    def resistances(self, core: str, *, lead_ohm: float = 0.0, **method: Any) -> None:
        """Key the resistance of both taps."""
        self.key(core, "resistance", **{**FOUR_WIRE, **method})
        for row, ohm in (("S1-S2", 1.5), ("S1-S3", 3.0)):
            self.key(core, "resistance", row, r_measured_ohm=f"{ohm + lead_ohm:.4g}", settle_s=30)

    @property
    def job(self) -> Job:
        cts = tuple(
            CT(
                ct_id=phase,
                phase_text=phase,
                serial_text=f"S-{phase}",
                cores=tuple(
                    Core(
                        core_id=f"{phase}-{number}",
                        number=number,
                        class_text=self.classes.get(f"{phase}-{number}", "5P20 15 VA"),
                        **{"taps": taps(), **self.more.get(f"{phase}-{number}", {})},
                    )
                    for number in range(1, self.cores + 1)
                ),
            )
            for phase in PHASES
        )
        return Job(
            job_id="j1",
            header=Header(number_text="1", ambient_degc=self.ambient_degc),
            positions=(
                Position(position_id="b1", name_text="Bay", p1_faces_text=self.p1_faces_text, cts=cts),
            ),
            instruments=self.instruments,
            references=self.references,
            readings=tuple(self.readings),
        )

    def noticed(self, notice_id: str) -> list[Notice]:
        return [entry for entry in notices(self.job, takes_of(self.readings)) if entry.notice_id == notice_id]

    def all_noticed(self) -> list[str]:
        return [entry.notice_id for entry in notices(self.job, takes_of(self.readings))]

    def cores_noticed(self, notice_id: str) -> list[tuple[str, ...]]:
        return [entry.cores for entry in self.noticed(notice_id)]

    def reason(self, notice_id: str, core: str = "L1-1") -> str:
        """Why it was not judged on a core; fails where it was."""
        place = next(place for place in places(self.job) if place.core.core_id == core)
        answers = answers_of_core(self.job, place, takes_of(self.readings))
        found = [a for a in answers if isinstance(a, NotJudged) and a.notice_id == notice_id]
        assert len(found) == 1, notice_id
        return found[0].reason


@pytest.fixture
def bay() -> Callable[..., Bay]:
    return Bay
