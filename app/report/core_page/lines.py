"""The lines of a test: one for each row and quantity, with the value of every phase and its finding."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.report.outline import CoreSet, Outline, Performance
from app.report.wording import (
    of_derived,
    of_reading,
    of_value,
    quantity_or_plain,
    row_words,
    symbol,
)
from ctcore.findings import Finding
from ctcore.procedure import Derived, Procedure
from ctcore.takes import Cell, Take


@dataclass(frozen=True, slots=True)
class Line:
    """One printed line; `values`, `findings` and `uncertainties` hold one entry for each phase."""

    label: str
    quantity_id: str
    values: tuple[str, ...]
    findings: tuple[Finding | None, ...] = ()
    uncertainties: tuple[float | None, ...] = ()
    first_of_row: bool = False

    @property
    def judged(self) -> bool:
        """Whether any phase has a finding on this line."""
        return any(finding is not None for finding in self.findings)


def lines_of(
    outline: Outline, core_set: CoreSet, procedure: Procedure, performance: Performance | None
) -> list[Line]:
    """The lines of one performance of a test on a set; without one, those of the findings alone."""
    takes = performance.takes if performance else (None,) * len(core_set.members)
    derived = [_derived(outline, procedure, take) for take in takes]
    findings = [
        _findings(outline, core_set, number, procedure, take) for number, take in enumerate(takes)
    ]
    lines: list[Line] = []
    for row in _rows(core_set, procedure, takes, derived, findings):
        of_row = _lines_of_row(procedure, row, takes, derived, findings)
        title = row_words(row, core_set.first, procedure)
        lines += [
            Line(
                label=f"{title}: {line.label}" if title and not number else line.label,
                quantity_id=line.quantity_id,
                values=line.values,
                findings=line.findings,
                uncertainties=line.uncertainties,
                first_of_row=not number,
            )
            for number, line in enumerate(of_row)
        ]
    return lines


def _derived(outline: Outline, procedure: Procedure, take: Take | None) -> Sequence[Derived]:
    if take is None:
        return ()
    return outline.derived.get((take.core_id, procedure.procedure_id, take.take), ())


def _findings(
    outline: Outline, core_set: CoreSet, number: int, procedure: Procedure, take: Take | None
) -> list[Finding]:
    core_id = core_set.members[number].core.core_id
    found = outline.findings.get((core_id, procedure.procedure_id), ())
    if take is None:
        # Findings without readings ("not tested") have take 0.
        recorded = outline.record_takes(core_id, procedure)
        return [] if recorded else list(found)
    several = len(outline.record_takes(core_id, procedure)) > 1
    return [finding for finding in found if finding.take == take.take or not (several or finding.take)]


def _rows(
    core_set: CoreSet,
    procedure: Procedure,
    takes: Sequence[Take | None],
    derived: Sequence[Sequence[Derived]],
    findings: Sequence[Sequence[Finding]],
) -> list[str]:
    """Rows in the order of the plate or of the test, then what concerns the test as a whole."""
    known = [entry.row for entry in procedure.fixed_rows]
    if procedure.row_kind == "taps":
        known += [tap.tap_id for member in core_set.members for tap in member.core.taps]
    used: list[str] = []
    if procedure.row_kind != "points":
        used += [row.row for take in takes if take for row in take.rows]
    used += [entry.row for group in derived for entry in group]
    used += [finding.row for group in findings for finding in group]
    ordered = dict.fromkeys([row for row in known if row in used])
    ordered.update(dict.fromkeys(row for row in used if row))
    if "" in used:
        ordered[""] = None
    return list(ordered)


def _lines_of_row(
    procedure: Procedure,
    row: str,
    takes: Sequence[Take | None],
    derived: Sequence[Sequence[Derived]],
    findings: Sequence[Sequence[Finding]],
) -> list[Line]:
    read_ids = [] if procedure.row_kind == "points" else [spec.quantity_id for spec in procedure.columns]
    derived_here = [{entry.quantity_id: entry for entry in group if entry.row == row} for group in derived]
    found_here = [[finding for finding in group if finding.row == row] for group in findings]
    found_ids = [finding.quantity for group in found_here for finding in group]
    ids = dict.fromkeys([*read_ids, *procedure.derived, *found_ids])
    lines: list[Line] = []
    for quantity_id in ids:
        cells = [
            take.row(row).cell(quantity_id) if take and quantity_id in read_ids else None for take in takes
        ]
        of_quantity = [[f for f in group if f.quantity == quantity_id] for group in found_here]
        entries = [group.get(quantity_id) for group in derived_here]
        lines += _lines_of_quantity(quantity_id, cells, entries, of_quantity)
    return lines


def _lines_of_quantity(
    quantity_id: str,
    cells: Sequence[Cell | None],
    entries: Sequence[Derived | None],
    found: Sequence[Sequence[Finding]],
) -> list[Line]:
    row = quantity_or_plain(quantity_id)
    depth = max((len(group) for group in found), default=0)
    shown = any(cell is not None and not cell.empty for cell in cells) or any(entries)
    if not shown and not depth:
        return []
    unit = symbol(row)
    label = f"{row.name}, {unit}" if unit else row.name
    lines = []
    for level in range(max(1, depth)):
        at_level = [group[level] if level < len(group) else None for group in found]
        lines.append(
            Line(
                label=label,
                quantity_id=quantity_id,
                values=tuple(
                    _value(row_cell, entry, finding, quantity_id)
                    for row_cell, entry, finding in zip(cells, entries, at_level, strict=True)
                ),
                findings=tuple(at_level),
                uncertainties=tuple(
                    finding.u_expanded if finding and finding.u_expanded is not None
                    else entry.u_expanded if entry else None
                    for entry, finding in zip(entries, at_level, strict=True)
                ),
            )
        )
    return lines


def _value(cell: Cell | None, entry: Derived | None, finding: Finding | None, quantity_id: str) -> str:
    row = quantity_or_plain(quantity_id)
    if finding is not None and (finding.value is not None or quantity_id == "judgement"):
        if cell is None or cell.empty:
            return of_value(finding.value, row, finding.u_expanded)
    if entry is not None:
        return of_derived(entry, row)
    if cell is not None and not cell.empty:
        return cell_text(cell, quantity_id)
    return "–"


def cell_text(cell: Cell, quantity_id: str) -> str:
    """What stands in a field: the reading in force, or every one where two stand."""
    row = quantity_or_plain(quantity_id)
    standing = [reading for reading in cell.standing if not reading.withdrawn]
    if not standing:
        return "–"
    return " or ".join(of_reading(reading, row) for reading in standing)


def alike(labels: Sequence[str], values: Iterable[str]) -> str:
    """One value where all phases agree, else each with its phase."""
    listed = list(values)
    if len(set(listed)) == 1:
        return listed[0]
    return "; ".join(f"{label} {value}" for label, value in zip(labels, listed, strict=True))
