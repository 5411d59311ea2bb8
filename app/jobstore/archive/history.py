"""What earlier tests say of the same core and tap, of its sisters, and of where a serial number stood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from numpy import float64
from numpy.typing import NDArray
from sqlalchemy import Connection, and_, select

from app.jobstore.archive.rows import unpacked
from app.jobstore.archive.tables import core, curve, filed, result


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptValue:
    """One value of one test of a core, with where and when it was found."""

    leaf_no: int
    record_digest: str
    number_text: str
    tested_on: str
    core_no: int
    terminals_text: str
    procedure_id: str
    subject_text: str
    row: str
    quantity_id: str
    value: float | None
    value_text: str
    u_expanded: float | None
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCurve:
    """One excitation curve as it was read, with how it was taken."""

    leaf_no: int
    record_digest: str
    number_text: str
    tested_on: str
    core_no: int
    phase_text: str
    serial_text: str
    terminals_text: str
    frequency_hz: float | None
    voltage_response: str
    current_response: str
    demagnetised: str
    voltage_v: NDArray[float64]
    current_a: NDArray[float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """A serial number that stood on another phase of the same place at the test before."""

    serial_text: str
    position_text: str
    phase_text: str
    phase_before_text: str
    number_before_text: str
    tested_before_on: str


def values(connection: Connection, core_no: int, quantity_ids: tuple[str, ...]) -> list[KeptValue]:
    """These quantities of the same core at every test of its transformer, oldest first.

    The same core is the core of that number in the transformer of that serial number; without a serial
    number nothing is the same but the record itself.
    """
    asked = (
        select(result, core.c.terminals_text, *_of_record())
        .join(core, core.c.core_no == result.c.core_no)
        .join(filed, filed.c.leaf_no == core.c.leaf_no)
        .where(_same_core(connection, core_no), result.c.quantity_id.in_(quantity_ids), _counts())
        .order_by(filed.c.tested_on, filed.c.leaf_no, result.c.sort)
    )
    return [KeptValue(**_fields(KeptValue, row)) for row in connection.execute(asked)]


def curves(connection: Connection, core_no: int) -> list[KeptCurve]:
    """Every curve of the same core at every test of its transformer, oldest first."""
    return _curves(connection, _same_core(connection, core_no))


def sister_curves(connection: Connection, core_no: int) -> list[KeptCurve]:
    """The curves of the cores of that number on the other phases of the same place in the same record."""
    own = _core(connection, core_no)
    if own is None:
        return []
    sisters = and_(
        core.c.leaf_no == own.leaf_no,
        core.c.position_key == own.position_key,
        core.c.core_number == own.core_number,
        core.c.core_no != core_no,
    )
    return _curves(connection, sisters)


def swaps(connection: Connection, leaf_no: int) -> list[Swap]:
    """Serial numbers of a record that stood on another phase of the same place at the test before."""
    here = _places(connection, leaf_no)
    found = []
    for (site_key, position_key, serial_key), now in here.items():
        if not serial_key:
            continue
        asked = (
            select(core.c.phase_text, filed.c.number_text, filed.c.tested_on)
            .join(filed, filed.c.leaf_no == core.c.leaf_no)
            .where(
                core.c.serial_key == serial_key,
                core.c.position_key == position_key,
                filed.c.site_key == site_key,
                filed.c.tested_on <= now.tested_on,
                filed.c.leaf_no != leaf_no,
                filed.c.job_id != now.job_id,
                _counts(),
            )
            .order_by(filed.c.tested_on.desc(), filed.c.leaf_no.desc())
            .limit(1)
        )
        before = connection.execute(asked).first()
        if before is not None and before.phase_text != now.phase_text:
            found.append(
                Swap(
                    serial_text=now.serial_text,
                    position_text=now.position_text,
                    phase_text=now.phase_text,
                    phase_before_text=before.phase_text,
                    number_before_text=before.number_text,
                    tested_before_on=before.tested_on,
                )
            )
    return found


def _places(connection: Connection, leaf_no: int) -> dict[tuple[str, str, str], Any]:
    asked = (
        select(core, filed.c.site_key, filed.c.tested_on, filed.c.job_id)
        .join(filed, filed.c.leaf_no == core.c.leaf_no)
        .where(core.c.leaf_no == leaf_no)
    )
    return {(row.site_key, row.position_key, row.serial_key): row for row in connection.execute(asked)}


def _curves(connection: Connection, condition: Any) -> list[KeptCurve]:
    asked = (
        select(curve, core.c.phase_text, core.c.serial_text, *_of_record())
        .join(core, core.c.core_no == curve.c.core_no)
        .join(filed, filed.c.leaf_no == core.c.leaf_no)
        .where(condition, _counts())
        .order_by(filed.c.tested_on, filed.c.leaf_no, core.c.core_no, curve.c.sort)
    )
    found = []
    for row in connection.execute(asked):
        volts, amperes = unpacked(bytes(row.points))
        fields = _fields(KeptCurve, row, leave=("voltage_v", "current_a"))
        found.append(KeptCurve(**fields, voltage_v=volts, current_a=amperes))
    return found


def _same_core(connection: Connection, core_no: int) -> Any:
    own = _core(connection, core_no)
    if own is None or not own.serial_key:
        return core.c.core_no == core_no
    return and_(core.c.serial_key == own.serial_key, core.c.core_number == own.core_number)


def _core(connection: Connection, core_no: int) -> Any:
    return connection.execute(select(core).where(core.c.core_no == core_no)).first()


def _counts() -> Any:
    """Of a job tested in several revisions only the last one counts."""
    return filed.c.standing == "current"


def _of_record() -> tuple[Any, ...]:
    return filed.c.leaf_no, filed.c.record_digest, filed.c.number_text, filed.c.tested_on


def _fields(kind: Any, row: Any, *, leave: tuple[str, ...] = ()) -> dict[str, Any]:
    return {name: getattr(row, name) for name in kind.__dataclass_fields__ if name not in leave}
