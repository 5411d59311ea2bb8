"""A worksheet in memory: one current transformer per phase, readings keyed in a line, findings by rule."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import pytest

from ctcore.findings import Finding
from ctcore.job import (
    CT,
    METHOD_ROW,
    Core,
    Header,
    Instrument,
    Job,
    Place,
    Position,
    Reading,
    References,
    Tap,
    places,
)
from ctcore.judge import derived, judge_core
from ctcore.procedure import Derived
from ctcore.takes import takes_of

FOUR_WIRE = {"leads": "four_wire", "t_winding_degc": 20, "t_winding_source": "surface_probe"}
AS_ASKED = {
    "frequency_hz": 50,
    "voltage_response": "mean",
    "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since",
    "primary_state": "open",
    "other_cores": "shorted",
    "links": "lifted",
}
AT_BURDEN = {"ratio_method": "instrument", "burden_in_circuit_va": 10, "burden_power_factor_ratio": 0.8}


def tap(terminals: str, primary: float, secondary: float = 1.0, turns: float | None = None) -> Tap:
    return Tap(
        tap_id=terminals,
        terminals_text=terminals,
        i_primary_rated_a=primary,
        i_secondary_rated_a=secondary,
        turns_secondary_count=turns,
    )


@dataclass
class Worksheet:
    """Readings are keyed for the core of the phase in hand, L1 unless told."""

    cores: list[Core]
    um_kv: float | None = None
    references: References = field(default_factory=References)
    instruments: tuple[Instrument, ...] = ()
    frequency_hz: float = 50.0
    readings: list[Reading] = field(default_factory=list)

    def key(
        self, procedure: str, row: str = METHOD_ROW, *, take: int = 1, core: int = 0, **values: Any
    ) -> None:
        for quantity, value in values.items():
            self.add(procedure, row, quantity, value, take=take, core=core)

    def add(
        self,
        procedure: str,
        row: str,
        quantity: str,
        value: Any,
        *,
        take: int = 1,
        core: int = 0,
        **more: Any,
    ) -> Reading:
        number = len(self.readings) + 1
        entry = Reading(
            reading_id=f"r{number}",
            core_id=self.cores[core].core_id,
            procedure_id=procedure,
            take=take,
            row=row,
            quantity_id=quantity,
            as_typed_text=str(value),
            value_text=str(value),
            person_id="p1",
            at_utc=f"2026-05-04T10:{number // 60:02d}:{number % 60:02d}Z",
            utc_offset_minutes=0,
            device_id="d1",
            device_seq=number,
        )
        entry = replace(entry, **more)
        self.readings.append(entry)
        return entry

    def points(self, volts: Any, amperes: Any, *, take: int = 1, core: int = 0, **more: Any) -> None:
        for index, (v, i) in enumerate(zip(volts, amperes, strict=True), start=1):
            for quantity, value in (("v_excitation_v", v), ("i_excitation_a", i)):
                self.add("excitation", str(index), quantity, float(value), take=take, core=core, **more)

    @property
    def job(self) -> Job:
        phases = ("L1", "L2", "L3")
        cts = tuple(
            CT(ct_id=f"ct-{phase}", phase_text=phase, um_kv=self.um_kv, cores=(core,))
            for phase, core in zip(phases, self.cores, strict=False)
        )
        return Job(
            job_id="j1",
            header=Header(number_text="1"),
            frequency_rated_hz=self.frequency_hz,
            positions=(Position(position_id="b1", name_text="Bay", cts=cts),),
            instruments=self.instruments,
            references=self.references,
            readings=tuple(self.readings),
        )

    def place(self, core: int = 0) -> Place:
        return next(place for place in places(self.job) if place.core.core_id == self.cores[core].core_id)

    def findings(self, core: int = 0) -> list[Finding]:
        return judge_core(self.job, self.place(core), takes_of(self.readings))

    def found(self, rule: str, row: str | None = None, core: int = 0) -> Finding:
        matching = [entry for entry in self.findings(core) if entry.rule == rule and row in (None, entry.row)]
        assert len(matching) == 1, [(entry.rule, entry.row, entry.text) for entry in self.findings(core)]
        return matching[0]

    def rules(self, core: int = 0) -> set[str]:
        return {entry.rule for entry in self.findings(core)}

    def derived(self, procedure: str, quantity: str, row: str = "", take: int = 1, core: int = 0) -> Derived:
        place = self.place(core)
        every = derived(self.job, place, takes_of(self.readings))[place.core.core_id, procedure, take]
        return next(entry for entry in every if (entry.quantity_id, entry.row) == (quantity, row))


@pytest.fixture
def worksheet() -> Callable[..., Worksheet]:
    """Makes a worksheet: `worksheet("5P20 15 VA", [tap("S1-S2", 600)], phases=3, low_leakage=True)`."""

    def make(
        class_text: str = "5P20 15 VA", taps: list[Tap] | None = None, *, phases: int = 1, **core: Any
    ) -> Worksheet:
        own = tuple(taps) if taps is not None else (tap("S1-S2", 600),)
        cores = [
            Core(core_id=f"c{number}", number=1, class_text=class_text, taps=own, **core)
            for number in range(1, phases + 1)
        ]
        return Worksheet(cores)

    return make


@pytest.fixture
def make_tap() -> Callable[..., Tap]:
    return tap
