"""The plates of a whole board out of a block of cells: what each column is taken for, what each row gives.

A row is a transformer, one of its cores, or one pair of terminals of a core. A cell that is empty where the
row above has a position or a phase repeats it, as such lists are written. Every figure goes through the
parser of the worksheet and every class through that of the plates; a row with a refused cell is left out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from app.exchange.tables import LONGEST_CELL, Table
from ctcore import entry
from ctcore.errors import BadInput
from ctcore.job import CT, Core, Position, Tap
from ctcore.nameplate import parse_class


@dataclass(frozen=True, slots=True)
class PlateField:
    """One thing that a column can hold; `names` are headings that mean it, `unit` is of its bare numbers."""

    name: str
    words: str
    names: tuple[str, ...]
    unit: str = ""


FIELDS: Final = (
    PlateField("position", "position", ("position", "set", "bay", "place", "location", "feeder", "panel")),
    PlateField("phase", "phase", ("phase", "phases", "ph")),
    PlateField("serial", "serial number", ("serial", "serial number", "serial no", "serial no.", "s/n")),
    PlateField("maker", "maker", ("maker", "manufacturer", "make")),
    PlateField("type", "type", ("type", "model")),
    PlateField("year", "year", ("year", "year of manufacture")),
    PlateField("um_kv", "highest voltage Um, kV", ("um", "um kv", "highest voltage"), "1"),
    PlateField("core", "core", ("core", "core number", "core no", "core no.", "winding"), "1"),
    PlateField("class", "class", ("class", "accuracy class", "accuracy", "designation")),
    PlateField(
        "burden_va", "rated output, VA", ("burden", "output", "rated output", "rated burden", "va"), "VA"
    ),
    PlateField("ratio", "ratio", ("ratio", "rated ratio", "ct ratio", "transformation ratio")),
    PlateField("primary_a", "rated primary current", ("primary", "ipr", "primary current", "ipn"), "A"),
    PlateField(
        "secondary_a", "rated secondary current", ("secondary", "isr", "secondary current", "isn"), "A"
    ),
    PlateField("terminals", "terminals", ("terminals", "tap", "taps", "leads")),
    PlateField("turns", "secondary turns", ("turns", "secondary turns", "ns"), "1"),
    PlateField("rct_ohm", "winding resistance at 75 °C", ("rct", "winding resistance", "rct 75"), "ohm"),
)
_BY_NAME: Final = {row.name: row for row in FIELDS}
_HEADING_UNIT: Final = re.compile(r"\s*([\[(,/].*|\b(in\s+)?(va|a|kv|ohm|Ω))$", re.IGNORECASE)
_RATIO: Final = re.compile(r"^\s*(?P<primaries>[^/:]+)[/:](?P<secondary>[^/:]+)$")
_FILLED: Final = ("position", "phase")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateColumn:
    """One column: its heading and the field it is taken for, None where it is left out."""

    heading_text: str
    field: PlateField | None
    sample_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateRow:
    """One row of the block as it is understood; with a reason it is left out."""

    line: int
    values: Mapping[str, str]
    reason: str = ""
    bad_field: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlatesPreview:
    """The block as it is understood, and the positions that it gives; ids are made when it is taken."""

    columns: tuple[PlateColumn, ...] = ()
    rows: tuple[PlateRow, ...] = ()
    notes: tuple[str, ...] = ()
    refusal_text: str = ""
    positions: tuple[Position, ...] = ()

    @property
    def refused_count(self) -> int:
        """How many rows are left out."""
        return sum(bool(row.reason) for row in self.rows)

    @property
    def core_count(self) -> int:
        """How many cores it gives."""
        return sum(len(ct.cores) for position in self.positions for ct in position.cts)


def preview(
    table: Table,
    *,
    mapping: Sequence[str] | None = None,
    decimal_comma: bool | None = None,
    new_id: Callable[[], str],
    phase_names: Sequence[str] = (),
) -> PlatesPreview:
    """What the block would become. `mapping` names the field of each column; without it headings decide."""
    if table.refusal_text:
        return PlatesPreview(refusal_text=table.refusal_text)
    headings, body = table.rows[0], table.rows[1:]
    names = list(mapping) if mapping and len(mapping) == len(headings) else guess(headings)
    columns = tuple(
        PlateColumn(
            heading_text=heading,
            field=_BY_NAME.get(name),
            sample_text=next((row[index] for row in body if row[index]), ""),
        )
        for index, (heading, name) in enumerate(zip(headings, names, strict=True))
    )
    missing = _missing(names)
    if missing:
        return PlatesPreview(columns=columns, notes=table.notes, refusal_text=missing)
    rows = tuple(_rows(names, body, decimal_comma))
    maker = _Maker(new_id, decimal_comma, tuple(phase_names))
    told = tuple(maker.take(row) for row in rows)
    return PlatesPreview(columns=columns, rows=told, notes=table.notes, positions=maker.positions())


def guess(headings: Sequence[str]) -> list[str]:
    """The field that each heading names; "" where it names none, or one that an earlier column has."""
    found: list[str] = []
    for heading in headings:
        plain = " ".join(heading.casefold().replace("_", " ").split())
        bare = _HEADING_UNIT.sub("", plain).strip()
        name = next((row.name for row in FIELDS if plain in row.names or bare in row.names), "")
        found.append("" if name in found else name)
    return found


def _missing(names: Sequence[str]) -> str:
    if not any(names):
        return "No column is known by its heading. Say for each what it holds."
    if "position" not in names:
        return "No column holds the position; say which one does."
    if "ratio" not in names and not {"primary_a", "secondary_a"} <= set(names):
        return "No column holds the ratio, or the rated currents; say which one does."
    return ""


def _rows(
    names: Sequence[str], body: Sequence[Sequence[str]], decimal_comma: bool | None
) -> Iterator[PlateRow]:
    above: dict[str, str] = {}
    for number, cells in enumerate(body, start=2):
        values = {name: cell for name, cell in zip(names, cells, strict=True) if name and cell}
        if values.get("position", above.get("position")) != above.get("position"):
            above = {}
        for name in _FILLED:
            if name in values or name in above:
                values[name] = above[name] = values.get(name, above.get(name, ""))
        bad = next(_refusals(values, decimal_comma), ("", ""))
        yield PlateRow(line=number, values=values, bad_field=bad[0], reason=bad[1])


def _refusals(values: Mapping[str, str], decimal_comma: bool | None) -> Iterator[tuple[str, str]]:
    for name, cell in values.items():
        if len(cell) > LONGEST_CELL or not cell.isprintable():
            yield name, "is too long, or holds a sign that cannot be printed"
    if not values.get("position"):
        yield "position", "no position stands here or above"
    for name, cell in values.items():
        unit = _BY_NAME[name].unit
        if unit:
            try:
                _above_zero(name, cell, unit, decimal_comma)
            except BadInput as refusal:
                yield name, refusal.reason
    try:
        _class(values, decimal_comma)
    except BadInput as refusal:
        yield "class", refusal.reason
    try:
        currents(values, decimal_comma)
    except BadInput as refusal:
        yield ("ratio" if "ratio" in values else "primary_a"), refusal.reason


def _above_zero(name: str, cell: str, unit: str, decimal_comma: bool | None) -> float:
    found = entry.parse(cell, unit, decimal_comma=decimal_comma, quantity=_BY_NAME[name].words)
    if found.over_range or found.under_range or not found.value > 0.0:
        raise BadInput(_BY_NAME[name].words, cell, "a figure above zero is wanted")
    if name == "core" and found.value != int(found.value):
        raise BadInput(_BY_NAME[name].words, cell, "a whole number is wanted")
    return found.value


def _class(values: Mapping[str, str], decimal_comma: bool | None) -> str:
    """The class as on the plate; a burden in a column of its own is put behind it where it has none."""
    words = values.get("class", "")
    if words and "burden_va" in values and "VA" not in words.upper():
        words = f"{words} {_above_zero('burden_va', values['burden_va'], 'VA', decimal_comma):g} VA"
    if words:
        parse_class(words)
    return words


def currents(values: Mapping[str, str], decimal_comma: bool | None) -> tuple[tuple[float, ...], float]:
    """The rated primary currents, largest first, and the secondary one, out of "600-300/1" or two columns.

    >>> currents({"ratio": "600-300/1"}, None), currents({"primary_a": "1.2 kA", "secondary_a": "5"}, None)
    (((600.0, 300.0), 1.0), ((1200.0,), 5.0))
    """
    if "ratio" in values:
        found = _RATIO.match(values["ratio"])
        if found is None:
            raise BadInput("ratio", values["ratio"], "is written as 600/1 or 600-300/1")
        primaries = tuple(
            _above_zero("primary_a", part.strip(), "A", decimal_comma)
            for part in re.split(r"[-–]", found["primaries"])
        )
        secondary = _above_zero("secondary_a", found["secondary"].strip(), "A", decimal_comma)
        return tuple(sorted(set(primaries), reverse=True)), secondary
    for name in ("primary_a", "secondary_a"):
        if name not in values:
            raise BadInput(_BY_NAME[name].words, None, "is not stated")
    primary, secondary = (
        _above_zero(name, values[name], "A", decimal_comma) for name in ("primary_a", "secondary_a")
    )
    return (primary,), secondary


@dataclass(slots=True)
class _Draft:
    """A core in the making."""

    number: int
    class_text: str = ""
    rct_ohm: float | None = None
    taps: list[Tap] = field(default_factory=list)


@dataclass(slots=True)
class _CtDraft:
    """A transformer in the making."""

    phase_text: str
    words: dict[str, str] = field(default_factory=dict)
    um_kv: float | None = None
    cores: dict[int, _Draft] = field(default_factory=dict)


class _Maker:
    """Gathers rows into positions, transformers, cores and taps; a contradiction refuses the row."""

    def __init__(
        self, new_id: Callable[[], str], decimal_comma: bool | None, phases: tuple[str, ...]
    ) -> None:
        self._new_id, self._comma, self._phases = new_id, decimal_comma, phases
        self._sets: dict[str, dict[str, _CtDraft]] = {}
        self._tap_ids: dict[tuple[str, int, str], str] = {}

    def take(self, row: PlateRow) -> PlateRow:
        """The row; with a reason where it contradicts one above."""
        if row.reason:
            return row
        cts = self._sets.setdefault(row.values["position"], {})
        phases = _split(row.values.get("phase", "")) or self._phases or ("",)
        for phase in phases:
            reason = self._enter(row.values, cts.setdefault(phase, _CtDraft(phase)), alone=len(phases) == 1)
            if reason:
                return PlateRow(line=row.line, values=row.values, reason=reason)
        return row

    def _enter(self, values: Mapping[str, str], ct: _CtDraft, *, alone: bool) -> str:
        for name in ("serial", "maker", "type", "year"):
            if name in values and (alone or name != "serial"):
                if ct.words.get(name, values[name]) != values[name]:
                    return f"{_BY_NAME[name].words} {ct.words[name]} stands for this transformer already"
                ct.words[name] = values[name]
        if "um_kv" in values:
            ct.um_kv = _above_zero("um_kv", values["um_kv"], "1", self._comma)
        number = int(_above_zero("core", values["core"], "1", self._comma)) if "core" in values else 1
        known = number in ct.cores
        core = ct.cores.setdefault(number, _Draft(number))
        words = _class(values, self._comma)
        if words and core.class_text not in ("", words):
            return f"core {number} has the class {core.class_text} already"
        core.class_text = words or core.class_text
        if "rct_ohm" in values:
            core.rct_ohm = _above_zero("rct_ohm", values["rct_ohm"], "ohm", self._comma)
        return self._enter_taps(values, core, known=known)

    def _enter_taps(self, values: Mapping[str, str], core: _Draft, *, known: bool) -> str:
        primaries, secondary = currents(values, self._comma)
        for place, primary in enumerate(primaries):
            terminals = values.get("terminals", "") if len(primaries) == 1 else ""
            terminals = terminals or f"{core.number}S1-{core.number}S{len(primaries) + 1 - place}"
            if any(tap.terminals_text == terminals for tap in core.taps):
                return f"{terminals} of core {core.number} stands twice" if known else ""
            turns = values.get("turns") if len(primaries) == 1 else None
            core.taps.append(
                Tap(
                    # Sister phases share the ids of their taps, so that the sheet sets them side by side.
                    tap_id=self._tap_ids.setdefault(
                        (values["position"], core.number, terminals), self._new_id()
                    ),
                    terminals_text=terminals,
                    i_primary_rated_a=primary,
                    i_secondary_rated_a=secondary,
                    turns_secondary_count=_above_zero("turns", turns, "1", self._comma) if turns else None,
                )
            )
        return ""

    def positions(self) -> tuple[Position, ...]:
        """What was gathered, in the order of the block."""
        return tuple(
            Position(
                position_id=self._new_id(),
                name_text=name,
                cts=tuple(
                    self._ct(ct) for ct in cts.values() if any(core.taps for core in ct.cores.values())
                ),
            )
            for name, cts in self._sets.items()
        )

    def _ct(self, ct: _CtDraft) -> CT:
        words: dict[str, Any] = {f"{name}_text": value for name, value in ct.words.items()}
        return CT(
            ct_id=self._new_id(),
            phase_text=ct.phase_text,
            um_kv=ct.um_kv,
            cores=tuple(
                Core(
                    core_id=self._new_id(),
                    number=core.number,
                    class_text=core.class_text,
                    taps=tuple(core.taps),
                    r_winding_75degc_plate_ohm=core.rct_ohm,
                )
                for core in sorted(ct.cores.values(), key=lambda core: core.number)
                if core.taps
            ),
            **words,
        )


def _split(phases: str) -> tuple[str, ...]:
    return tuple(phases.replace(",", " ").replace("/", " ").split())
