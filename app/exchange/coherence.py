"""What must hold between the parts of a job beyond their types.

Each check yields (place, value, reason). Readings out of what is expected are no matter of this file: they
are kept and judged. What stands here would make a reading belong to nothing, to two things, or to another
value than it says.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Final

from ctcore.job import CT, METHOD_ROW, Core, Job, Reading, References, Tap
from ctcore.judgement.links import is_link
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES
from ctcore.quantities import QUANTITIES, Quantity

Fault = tuple[str, object, str]

# Format: digits, one point, an exponent; what `Decimal` takes beyond that (1_000, Infinity) is no reading.
_DECIMAL: Final = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
_UTC: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?(Z|\+00:00)", re.ASCII)
_MOST_OFFSET_MINUTES: Final = 24 * 60

_PROCEDURES: Final = {entry.procedure_id: entry for entry in PROCEDURES}
_QUANTITIES: Final = {row.quantity_id: row for row in QUANTITIES}


def faults(job: Job) -> Iterator[Fault]:
    """Every fault of the job, plates first, then references, then readings."""
    if not job.job_id.strip():
        yield "job.job_id", job.job_id, "a job needs an id"
    yield from _above_zero("job.frequency_rated_hz", job.frequency_rated_hz)
    reason = _bounds_reason(job.frequency_rated_hz, _QUANTITIES["frequency_hz"])
    if reason:
        yield "job.frequency_rated_hz", job.frequency_rated_hz, reason
    yield from _unique("job.positions", "position_id", [entry.position_id for entry in job.positions])
    yield from _unique("job.instruments", "instrument_id", [entry.instrument_id for entry in job.instruments])
    yield from _unique("job.people", "person_id", [entry.person_id for entry in job.people])
    yield from _unique("job.remarks", "remark_id", [entry.remark_id for entry in job.remarks])
    yield from _unique("job.deviations", "deviation_id", [entry.deviation_id for entry in job.deviations])
    yield from _plates(job)
    cores = {core.core_id: core for _, core in _cores(job)}
    yield from _references(job.references, cores)
    yield from _notes(job, cores)
    yield from _readings(job, cores)


def _cores(job: Job) -> list[tuple[str, Core]]:
    return [
        (f"job.positions[{p}].cts[{c}].cores[{k}]", core)
        for p, position in enumerate(job.positions)
        for c, ct in enumerate(position.cts)
        for k, core in enumerate(ct.cores)
    ]


def _cts(job: Job) -> list[tuple[str, CT]]:
    return [
        (f"job.positions[{p}].cts[{c}]", ct)
        for p, position in enumerate(job.positions)
        for c, ct in enumerate(position.cts)
    ]


def _plates(job: Job) -> Iterator[Fault]:
    cts, cores = _cts(job), _cores(job)
    yield from _unique("job.positions", "ct_id", [ct.ct_id for _, ct in cts])
    yield from _unique("job.positions", "core_id", [core.core_id for _, core in cores])
    for place, ct in cts:
        yield from _above_zero(f"{place}.um_kv", ct.um_kv)
        yield from _unique(f"{place}.cores", "number", [str(core.number) for core in ct.cores])
    for place, core in cores:
        yield from _core(place, core)


def _core(place: str, core: Core) -> Iterator[Fault]:
    if core.number < 1:
        yield f"{place}.number", core.number, "cores are counted from 1"
    if not core.taps:
        yield f"{place}.taps", None, "a core has at least one pair of terminals"
    yield from _unique(f"{place}.taps", "tap_id", [tap.tap_id for tap in core.taps])
    if core.service_tap_id is not None and core.tap(core.service_tap_id) is None:
        yield f"{place}.service_tap_id", core.service_tap_id, "no tap of this core has that id"
    for index, procedure_id in enumerate(core.procedures):
        if procedure_id not in _PROCEDURES:
            yield f"{place}.procedures[{index}]", procedure_id, "no test has that name"
    for index, left_out in enumerate(core.left_out):
        if left_out.procedure_id not in _PROCEDURES:
            yield f"{place}.left_out[{index}].procedure_id", left_out.procedure_id, "no test has that name"
        if not left_out.reason_text.strip():
            yield f"{place}.left_out[{index}].reason_text", None, "a test is left out with a reason"
    yield from _above_zero(f"{place}.r_winding_75degc_plate_ohm", core.r_winding_75degc_plate_ohm)
    for index, tap in enumerate(core.taps):
        yield from _tap(f"{place}.taps[{index}]", tap)


def _tap(place: str, tap: Tap) -> Iterator[Fault]:
    if tap.tap_id == METHOD_ROW:
        yield f"{place}.tap_id", tap.tap_id, "this word names the method fields and can be no tap"
    yield from _above_zero(f"{place}.i_primary_rated_a", tap.i_primary_rated_a)
    yield from _above_zero(f"{place}.i_secondary_rated_a", tap.i_secondary_rated_a)
    yield from _above_zero(f"{place}.turns_secondary_count", tap.turns_secondary_count)
    yield from _above_zero(f"{place}.turns_primary_count", tap.turns_primary_count)


def _references(references: References, cores: dict[str, Core]) -> Iterator[Fault]:
    place = "job.references"
    yield from _above_zero(f"{place}.client_insulation_limit_ohm", references.client_insulation_limit_ohm)
    yield from _above_zero(f"{place}.voltage_ceiling_v", references.voltage_ceiling_v)
    for index, override in enumerate(references.limit_overrides):
        here = f"{place}.limit_overrides[{index}]"
        yield from _known_core(here, override.core_id, cores, or_job=True)
        low, high = override.limit_low, override.limit_high
        if low is not None and high is not None and low > high:
            yield f"{here}.limit_low", low, f"is above the upper limit {high}"
    for index, value in enumerate(references.values):
        yield from _known_core(f"{place}.values[{index}]", value.core_id, cores)
    for index, curve in enumerate(references.curves):
        here = f"{place}.curves[{index}]"
        yield from _known_core(here, curve.core_id, cores)
        if curve.core_id in cores and cores[curve.core_id].tap(curve.tap_id) is None:
            yield f"{here}.tap_id", curve.tap_id, "no tap of this core has that id"
        yield from _above_zero(f"{here}.frequency_hz", curve.frequency_hz)
        for number, point in enumerate(curve.points):
            yield from _above_zero(f"{here}.points[{number}].voltage_v", point.voltage_v)
            yield from _above_zero(f"{here}.points[{number}].current_a", point.current_a)


def _notes(job: Job, cores: dict[str, Core]) -> Iterator[Fault]:
    for name in ("acknowledgements", "remarks", "deviations", "landings"):
        for index, entry in enumerate(getattr(job, name)):
            place = f"job.{name}[{index}]"
            yield from _known_core(place, entry.core_id, cores, or_job=True)
            if entry.at_utc or name != "deviations":
                yield from _moment(place, entry.at_utc)
    yield from _comments(job)


def _comments(job: Job) -> Iterator[Fault]:
    known = {entry.reading_id for entry in job.readings} | {""}
    for index, remark in enumerate(job.remarks):
        place = f"job.remarks[{index}]"
        named = [(place, remark.reading_id)]
        for number, step in enumerate(remark.steps):
            named.append((f"{place}.steps[{number}]", step.reading_id))
            yield from _moment(f"{place}.steps[{number}]", step.at_utc)
        for where, reading_id in named:
            if reading_id not in known:
                yield f"{where}.reading_id", reading_id, "no reading of this job has that id"


def _readings(job: Job, cores: dict[str, Core]) -> Iterator[Fault]:
    readings = job.readings
    yield from _unique("job.readings", "reading_id", [entry.reading_id for entry in readings])
    counted = [f"{entry.device_id} {entry.device_seq}" for entry in readings]
    yield from _unique("job.readings", "device_seq", counted)
    by_id = {entry.reading_id: entry for entry in readings}
    instruments = {entry.instrument_id for entry in job.instruments}
    for index, entry in enumerate(readings):
        place = f"job.readings[{index}]"
        yield from _moment(place, entry.at_utc)
        if abs(entry.utc_offset_minutes) > _MOST_OFFSET_MINUTES:
            yield f"{place}.utc_offset_minutes", entry.utc_offset_minutes, "is more than a day"
        if entry.instrument_id is not None and entry.instrument_id not in instruments:
            yield f"{place}.instrument_id", entry.instrument_id, "no instrument of this job has that id"
        yield from _address(place, entry, cores)
        yield from _superseding(place, entry, by_id)
        yield from _value(place, entry)


def _address(place: str, entry: Reading, cores: dict[str, Core]) -> Iterator[Fault]:
    yield from _known_core(place, entry.core_id, cores)
    if entry.take < 1:
        yield f"{place}.take", entry.take, "takes are counted from 1"
    procedure = _PROCEDURES.get(entry.procedure_id)
    if procedure is None:
        yield f"{place}.procedure_id", entry.procedure_id, "no test has that name"
    elif entry.core_id in cores and not _row_known(entry.row, procedure, cores[entry.core_id]):
        yield f"{place}.row", entry.row, f"no row of that name in {procedure.procedure_id} of this core"


def _row_known(row: str, procedure: Procedure, core: Core) -> bool:
    if row == METHOD_ROW:
        return True
    if procedure.row_kind == "terminals" and is_link(row):
        # A plate whose terminals were named anew keeps what was read at the old names.
        return True
    if procedure.row_kind != "points":
        return any(row == entry.row for entry in procedure.rows_of(core))
    return row.isascii() and row.isdigit() and len(row) <= 6 and not row.startswith("0")


def _superseding(place: str, entry: Reading, by_id: dict[str, Reading]) -> Iterator[Fault]:
    if entry.supersedes_id is not None:
        before = by_id.get(entry.supersedes_id)
        if before is None:
            yield f"{place}.supersedes_id", entry.supersedes_id, "no reading of this job has that id"
        elif _cell(before) != _cell(entry):
            yield f"{place}.supersedes_id", entry.supersedes_id, "that reading stands in another field"
        elif _returns(entry, by_id):
            yield f"{place}.supersedes_id", entry.supersedes_id, "these readings supersede one another"
    if (entry.struck or entry.withdrawn) and entry.value_text is not None:
        yield f"{place}.value_text", entry.value_text, "a struck or withdrawn reading has no value"


def _cell(entry: Reading) -> tuple[str, str, int, str, str]:
    return (entry.core_id, entry.procedure_id, entry.take, entry.row, entry.quantity_id)


def _returns(entry: Reading, by_id: dict[str, Reading]) -> bool:
    """Whether the chain of what this reading supersedes never ends; a chain that ends has each id once."""
    seen: set[str] = set()
    here: Reading | None = entry
    while here is not None and here.supersedes_id is not None:
        if here.reading_id in seen:
            return True
        seen.add(here.reading_id)
        here = by_id.get(here.supersedes_id)
    return False


def _value(place: str, entry: Reading) -> Iterator[Fault]:
    quantity = _QUANTITIES.get(entry.quantity_id)
    if quantity is None:
        yield f"{place}.quantity_id", entry.quantity_id, "no quantity has that name"
    elif entry.value_text is not None:
        reason = _value_reason(entry.value_text, quantity)
        if reason:
            yield f"{place}.value_text", entry.value_text, reason


def _value_reason(text: str, quantity: Quantity) -> str | None:
    if quantity.kind == "choice" and text not in {choice.value for choice in quantity.choices}:
        return "one of " + ", ".join(choice.value for choice in quantity.choices) + " is wanted"
    if quantity.kind != "number":
        return None
    if len(text) > 60 or not _DECIMAL.fullmatch(text) or abs(float(text)) > 1e300:
        return "a decimal number in the base unit is wanted"
    return _bounds_reason(float(text), quantity)


def _bounds_reason(value: float, quantity: Quantity) -> str | None:
    """Why a number cannot be a value of that quantity, whatever the limit."""
    if quantity.least is not None and value < quantity.least:
        return f"{quantity.name} is {quantity.least:g} or more in the base unit"
    if quantity.greatest is not None and value > quantity.greatest:
        return f"{quantity.name} is {quantity.greatest:g} or less in the base unit"
    return None


def _known_core(place: str, core_id: str, cores: dict[str, Core], or_job: bool = False) -> Iterator[Fault]:
    if core_id not in cores and not (or_job and not core_id):
        yield f"{place}.core_id", core_id, "no core of this job has that id"


def _moment(place: str, at_utc: str) -> Iterator[Fault]:
    problem = f"{place}.at_utc", at_utc, "a time in UTC such as 2026-03-04T09:30:00Z is wanted"
    if not _UTC.fullmatch(at_utc):
        yield problem
        return
    try:
        datetime.fromisoformat(at_utc[:19])
    except ValueError:
        yield problem


def _above_zero(place: str, value: float | None) -> Iterator[Fault]:
    if value is not None and value <= 0.0:
        yield place, value, "is above zero"


def _unique(place: str, name: str, ids: Iterable[str]) -> Iterator[Fault]:
    seen: set[str] = set()
    for entry in ids:
        if entry in seen:
            yield place, entry, f"this {name} stands twice"
        seen.add(entry)
