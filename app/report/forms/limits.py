"""The limits that a blank line will be judged by, as far as they do not hang on what is read.

Safety: a limit is taken from the judgement itself, of invented readings over a wide range. One that is not
the same for all of them hangs on the reading and is not printed: a limit of another current would mislead.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Final

from app.report.wording import limit_text, quantity_or_plain
from ctcore.findings import Finding
from ctcore.job import METHOD_ROW, Core, Job, Place, Reading
from ctcore.procedure import Procedure, Scene
from ctcore.procedures import procedure
from ctcore.quantities import quantity
from ctcore.takes import takes_of

# Invented readings from far below to far above what is read in the field.
_SCALES: Final = (0.2, 1.0, 5.0, 20.0, 100.0)
_POINTS_COUNT: Final = 24
# Readings that others are judged with: the e.m.f. of a class needs the resistance of the winding. They are
# invented over the same range, so that a limit which hangs on them is not printed either.
_NEEDED: Final = ("resistance",)

Limits = Mapping[str, tuple[str, ...]]


def limits_of(job: Job, place: Place, test: Procedure, assumed: Mapping[str, str]) -> Limits:
    """By row the limits in words; under "" those of the test as a whole. `assumed` answers its method."""
    seen: list[dict[tuple[str, str, str], Finding]] = []
    for scale in _SCALES:
        seen.append({_key(one): one for one in _judged(job, place, test, assumed, scale) if _has_limit(one)})
    found: dict[str, list[str]] = {}
    for key in dict.fromkeys(key for findings in seen for key in findings):
        alike = [findings[key] for findings in seen if key in findings]
        if len({_bounds(one) for one in alike}) == 1:
            row = quantity_or_plain(alike[0].quantity)
            words = f"{row.name}: {limit_text(alike[0], row, unit=True)}"
            if words not in found.setdefault(alike[0].row, []):
                found[alike[0].row].append(words)
    return {row: tuple(words) for row, words in found.items()}


def _key(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.row, finding.quantity


def _bounds(finding: Finding) -> tuple[object, ...]:
    return finding.limit_low, finding.limit_high, finding.limit if isinstance(finding.limit, str) else None


def _has_limit(finding: Finding) -> bool:
    return any(bound is not None for bound in _bounds(finding)) or finding.limit is not None


def _judged(
    job: Job, place: Place, test: Procedure, assumed: Mapping[str, str], scale: float
) -> list[Finding]:
    readings = tuple(_invented(place.core, test, assumed, scale))
    for other in _NEEDED:
        if other != test.procedure_id:
            readings += tuple(_invented(place.core, procedure(other), {}, scale))
    blank = dataclasses.replace(job, readings=readings, acknowledgements=(), remarks=(), deviations=())
    takes = takes_of(readings)
    scene = Scene(blank, place.position, place.ct, place.core, takes)
    return [
        finding
        for take in takes.get((place.core.core_id, test.procedure_id), ())
        for finding in test.judge(scene, take)
    ]


def _invented(core: Core, test: Procedure, assumed: Mapping[str, str], scale: float) -> Iterator[Reading]:
    for spec in test.method:
        yield _reading(
            core, test, METHOD_ROW, spec.quantity_id, _answer(core, spec.quantity_id, assumed, scale)
        )
    if test.row_kind == "points":
        yield from _curve(core, test, scale)
        return
    for row in (entry.row for entry in test.rows_of(core)):
        for number, spec in enumerate(test.columns, start=1):
            answer = _answer(core, spec.quantity_id, assumed, scale * number)
            yield _reading(core, test, row, spec.quantity_id, answer)


def _answer(core: Core, quantity_id: str, assumed: Mapping[str, str], scale: float) -> str:
    row = quantity(quantity_id)
    if quantity_id == "tap_id":
        return core.full_tap.tap_id
    if row.choices:
        return assumed.get(quantity_id) or row.choices[0].value
    if quantity_id in _STEADY:
        return _STEADY[quantity_id]
    return f"{scale:.6g}" if row.kind == "number" else "invented"


_STEADY: Final = {"t_winding_degc": "20", "frequency_hz": "50"}


def _curve(core: Core, test: Procedure, scale: float) -> Iterator[Reading]:
    """Points of a curve with a knee far above any target of a class, so that every target lies on it."""
    for number in range(1, _POINTS_COUNT + 1):
        volts = 5000.0 * 10.0 ** (-3.5 * (_POINTS_COUNT - number) / (_POINTS_COUNT - 1))
        amperes = 0.001 * scale * ((volts / 2000.0) ** 0.6 + (volts / 2000.0) ** 8)
        yield _reading(core, test, str(number), "v_excitation_v", f"{volts:.6g}")
        yield _reading(core, test, str(number), "i_excitation_a", f"{amperes:.6g}")


def _reading(core: Core, test: Procedure, row: str, quantity_id: str, value: str) -> Reading:
    return Reading(
        reading_id=f"{test.procedure_id}/{row}/{quantity_id}", core_id=core.core_id,
        procedure_id=test.procedure_id, take=1, row=row, quantity_id=quantity_id, as_typed_text=value,
        value_text=value, person_id="", at_utc="2000-01-01T00:00:00Z", utc_offset_minutes=0, device_id="",
        device_seq=1,
    )  # fmt: skip
