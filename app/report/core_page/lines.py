"""The lines of a test: one for each row and quantity, with the value of every phase and its finding."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.report.outline import CoreSet, Outline, Performance
from app.report.wording import (
    NOTHING,
    head_unit,
    of_reading,
    of_value,
    quantity_or_plain,
    row_words,
    with_symbol,
)
from app.words import said
from ctcore.findings import Finding
from ctcore.procedure import Derived, Procedure
from ctcore.takes import Cell, Take

# What was set rather than found in a reading: told once over the row where all phases agree.
_CONDITIONS = frozenset({"v_test_v", "i_test_a", "settle_s", "i_percent_rated_percent"})


@dataclass(frozen=True, slots=True)
class Line:
    """One printed line; `values`, `findings` and `uncertainties` hold one entry for each phase."""

    label: str
    quantity_id: str
    values: tuple[str, ...]
    findings: tuple[Finding | None, ...] = ()
    uncertainties: tuple[float | None, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def label_in_title(self) -> str:
        """The name without its unit."""
        return quantity_or_plain(self.quantity_id).name

    @property
    def shared_value(self) -> str:
        """The value that every phase has, with its unit."""
        value = next((value for value in self.values if value != NOTHING), NOTHING)
        return with_symbol(value, quantity_or_plain(self.quantity_id))

    @property
    def judged(self) -> bool:
        """Whether any phase has a finding on this line."""
        return any(finding is not None for finding in self.findings)


@dataclass(frozen=True, slots=True)
class RowGroup:
    """The lines of one row of a test, under its words and the conditions that all phases share."""

    title: str
    lines: tuple[Line, ...]
    row: str = ""


def groups_of(
    outline: Outline, core_set: CoreSet, procedure: Procedure, performance: Performance | None
) -> list[RowGroup]:
    """The rows of one performance of a test on a set; without one, those of the findings alone."""
    takes = performance.takes if performance else (None,) * len(core_set.members)
    derived = [_derived(outline, procedure, take) for take in takes]
    if procedure.per_row:
        derived = [
            [entry for entry in group if take is None or take.row(entry.row).cells]
            for group, take in zip(derived, takes, strict=True)
        ]
    findings = [_findings(outline, core_set, number, procedure, take) for number, take in enumerate(takes)]
    groups = []
    for row in _rows(core_set, procedure, takes, derived, findings):
        lines = _lines_of_row(procedure, row, takes, derived, findings)
        shared = [line for line in lines if _is_shared_condition(line, takes)]
        told = [f"{line.label_in_title} {line.shared_value}" for line in shared]
        title = " · ".join(part for part in (row_words(row, core_set.first, procedure), *told) if part)
        groups.append(RowGroup(title, tuple(line for line in lines if line not in shared), row))
    return groups


def _is_shared_condition(line: Line, takes: Sequence[Take | None]) -> bool:
    """Whether a line is a condition of the reading that is the same wherever the test was taken."""
    taken = {value for value, take in zip(line.values, takes, strict=True) if take is not None}
    return line.quantity_id in _CONDITIONS and not line.judged and len(taken) == 1


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
    known = [row.row for member in core_set.members for row in procedure.rows_of(member.core)]
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
    # A reading that is judged as it was read would stand twice in the same words.
    said = {(line.label, line.values) for line in lines if line.judged}
    return [line for line in lines if line.judged or (line.label, line.values) not in said]


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
    unit = head_unit(row)
    name = said("the test as a whole") if quantity_id == "judgement" else row.name
    label = f"{name}, {unit}" if unit else name
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
                notes=tuple(entry.note if entry and not level else "" for entry in entries),
                uncertainties=tuple(
                    finding.u_expanded
                    if finding and finding.u_expanded is not None
                    else entry.u_expanded
                    if entry
                    else None
                    for entry, finding in zip(entries, at_level, strict=True)
                ),
            )
        )
    return lines


def _value(cell: Cell | None, entry: Derived | None, finding: Finding | None, quantity_id: str) -> str:
    row = quantity_or_plain(quantity_id)
    unread = cell is None or cell.empty
    if unread and finding is not None and (finding.value is not None or quantity_id == "judgement"):
        return of_value(finding.value, row)
    if entry is not None:
        return of_value(entry.value, row)
    if cell is not None and not cell.empty:
        return cell_text(cell, quantity_id)
    return NOTHING


def cell_text(cell: Cell, quantity_id: str) -> str:
    """What stands in a field: the reading in force, or every one where two stand."""
    row = quantity_or_plain(quantity_id)
    standing = [reading for reading in cell.standing if not reading.withdrawn]
    if not standing:
        return NOTHING
    return " or ".join(of_reading(reading, row) for reading in standing)


def alike(labels: Sequence[str], values: Iterable[str]) -> str:
    """One value where all phases agree, else each with its phase."""
    listed = list(values)
    if len(set(listed)) == 1:
        return listed[0]
    return "; ".join(f"{label} {value}" for label, value in zip(labels, listed, strict=True))
