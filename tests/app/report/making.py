"""Jobs to print, all invented."""

from __future__ import annotations

import dataclasses

from app.record.revision import Declaration
from app.report.sheet import SheetInput
from ctcore.job import CT, Core, Header, Job, Position, Reading, Tap, places
from ctcore.judge import judge
from ctcore.procedure import Derived, Scene
from ctcore.procedures import PROCEDURES
from ctcore.takes import takes_of

DIGEST = "9a73fd9d7fd5865d589a87c9da34b0599b0297cc14e61c9ad9bb62c01d9ac50f"
LONG_NAME = ("Network office of the far valley and of the nine villages above it " * 3)[:200]


def derived_of(job: Job) -> dict[tuple[str, str, int], list[Derived]]:
    """Derived values of every take of the job."""
    takes = takes_of(job.readings)
    return {
        (place.core.core_id, procedure.procedure_id, take.take): procedure.derive(
            Scene(job, place.position, place.ct, place.core, takes), take
        )
        for place in places(job)
        for procedure in PROCEDURES
        for take in takes.get((place.core.core_id, procedure.procedure_id), ())
    }


def draft(job: Job, **changes: object) -> SheetInput:
    """The sheet of a job that is not frozen."""
    given = SheetInput(
        job=job,
        findings=judge(job),
        derived=derived_of(job),
        revision=1,
        state_words="being tested",
        digest_hex=None,
        declaration=None,
        issued_at_utc=None,
        program_version="0.1",
    )
    return dataclasses.replace(given, **changes)


def frozen(job: Job, **changes: object) -> SheetInput:
    """The sheet of a frozen revision."""
    declaration = Declaration(
        person_id="p1",
        name_text="Ilse Marren",
        text="I took these readings as recorded.",
        at_utc="2026-10-13T09:31:00Z",
        utc_offset_minutes=120,
    )
    given = {
        "digest_hex": DIGEST,
        "declaration": declaration,
        "issued_at_utc": "2026-10-13T09:31:00Z",
        "state_words": "handed in",
        **changes,
    }
    return draft(job, **given)


def tap(name: str, primary: float, secondary: float = 1.0) -> Tap:
    """A tap with turns as its ratio."""
    return Tap(
        tap_id=name,
        terminals_text=name,
        i_primary_rated_a=primary,
        i_secondary_rated_a=secondary,
        turns_secondary_count=primary / secondary,
    )


def reading(
    core_id: str, procedure_id: str, row: str, quantity_id: str, text: str, **changes: object
) -> Reading:
    """One reading with a plain number or word."""
    name = f"{core_id}.{procedure_id}.{row}.{quantity_id}.{changes.get('take', 1)}"
    entry = Reading(
        reading_id=name,
        core_id=core_id,
        procedure_id=procedure_id,
        take=1,
        row=row,
        quantity_id=quantity_id,
        as_typed_text=text,
        value_text=text,
        person_id="p1",
        at_utc="2026-10-13T07:00:00Z",
        utc_offset_minutes=120,
        device_id="d1",
        device_seq=1,
    )
    return dataclasses.replace(entry, **changes)


def curve_readings(core_id: str, points: int, *, scale: float = 1.0) -> list[Reading]:
    """A curve with a straight foot and a knee; its volts end near 400 V."""
    method = {
        "tap_id": "S1-S2",
        "frequency_hz": "50.0",
        "voltage_response": "mean",
        "current_response": "true_rms",
        "demagnetised": "yes_no_dc_since",
        "primary_state": "open",
        "other_cores": "none",
        "links": "lifted",
    }
    made = [reading(core_id, "excitation", "method", name, value) for name, value in method.items()]
    for number in range(1, points + 1):
        volts = 20.0 + 380.0 * (number - 1) / (points - 1)
        amps = scale * (0.02 * (volts / 300.0) ** 0.7 + 0.01 * (volts / 320.0) ** 14)
        made.append(reading(core_id, "excitation", str(number), "v_excitation_v", f"{volts:.5g}"))
        made.append(reading(core_id, "excitation", str(number), "i_excitation_a", f"{amps:.4g}"))
    return made


def core_of(name: str, *, taps: tuple[Tap, ...] = (tap("S1-S2", 600.0),)) -> Core:
    """A protection core."""
    return Core(core_id=name, number=1, class_text="PX Ek 250 V Ie 60 mA Rct 3 ohm", taps=taps)


def set_of(phases: tuple[str, ...], *, points: int = 14, **core: object) -> Job:
    """One position with a transformer for each phase named, each with a curve."""
    cts = tuple(
        CT(
            ct_id=f"ct-{phase}",
            phase_text=phase,
            serial_text=f"7031{number}",
            cores=(core_of(phase, **core),),
        )
        for number, phase in enumerate(phases)
    )
    readings = [
        entry
        for number, phase in enumerate(phases)
        for entry in curve_readings(phase, points, scale=1.0 + 0.03 * number)
    ]
    return Job(
        job_id="j1",
        header=Header(number_text="1042", site_text="Sornbeck (invented)"),
        positions=(Position(position_id="line", name_text="Line side", cts=cts),),
        readings=tuple(readings),
    )
