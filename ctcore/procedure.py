"""What a test type declares: fields and rows, derived values, judgement, cautions and curve."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from ctcore.findings import Finding
from ctcore.job import CT, Core, Job, Position
from ctcore.takes import Take, holders

RowKind = Literal["fixed", "taps", "terminals", "points"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldSpec:
    """One field of the method block or one column of the table.

    `shown_when` names a method quantity and the values of it for which the field is asked.
    """

    quantity_id: str
    required: bool = False
    shown_when: tuple[str, tuple[str, ...]] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedRow:
    """One row that is always there, such as a pair of terminals of an insulation test."""

    row: str
    words: str
    required: bool = True


@dataclass(frozen=True, slots=True)
class Derived:
    """One derived value of a take: in base unit, with its expanded uncertainty (k = 2) where it is known."""

    row: str
    quantity_id: str
    value: float | str | None
    u_expanded: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that a procedure may look at when it judges one take of one core."""

    job: Job
    position: Position
    ct: CT
    core: Core
    takes: Mapping[tuple[str, str], tuple[Take, ...]] = field(default_factory=dict)

    def of_record(self, procedure_id: str, core_id: str | None = None) -> Take | None:
        """The take of record of a procedure: the last one; the core's own unless another is named."""
        found = self.takes.get((core_id or self.core.core_id, procedure_id), ())
        return found[-1] if found else None

    def of_row(self, procedure_id: str, row: str, core_id: str | None = None) -> Take | None:
        """The take of record of one row of a test that goes row by row: the last one that has it."""
        found = self.takes.get((core_id or self.core.core_id, procedure_id), ())
        return holders(found).get(row, found[-1]) if found else None

    def sisters(self) -> list[tuple[CT, Core]]:
        """The same core of the other phases of this position: equal number, class and taps."""
        return [
            (ct, core)
            for ct in self.position.cts
            if ct.ct_id != self.ct.ct_id
            for core in ct.cores
            if core.number == self.core.number and core.class_text == self.core.class_text
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """One test type. `derive` and `judge` are pure: readings in, values and findings out.

    `rows_of_core` makes the rows of a test that goes by the terminals of the plate.
    `per_subject` tells the takes apart that stand beside each other (excitation: one per tap fed), so that
    the take of record is the last one of each subject and not the last one of all. `per_row` says that each
    row has its own take of record, so that a retest of one tap leaves the others standing.
    """

    procedure_id: str
    name: str
    short_name: str
    row_kind: RowKind
    method: tuple[FieldSpec, ...]
    columns: tuple[FieldSpec, ...]
    derived: tuple[str, ...]
    derive: Callable[[Scene, Take], list[Derived]]
    judge: Callable[[Scene, Take], list[Finding]]
    fixed_rows: tuple[FixedRow, ...] = ()
    rows_of_core: Callable[[Core], tuple[FixedRow, ...]] | None = None
    rows_heading: str = "Between"
    cautions: tuple[str, ...] = ()
    curve: Literal["excitation", "none"] = "none"
    per_subject: Callable[[Take], str] | None = None
    per_row: bool = False

    def rows_of(self, core: Core) -> tuple[FixedRow, ...]:
        """The rows that this test has on a core; none where the readings make them, as points do."""
        if self.rows_of_core is not None:
            return self.rows_of_core(core)
        if self.row_kind == "taps":
            return tuple(FixedRow(row=tap.tap_id, words=tap.terminals_text) for tap in core.taps)
        return self.fixed_rows
