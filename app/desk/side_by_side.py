"""What a decision looks at: the three phases of a set side by side, with plate and certificate values.

The lines are those of the sheet, so that screen and paper cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from app.desk.deciding import DecisionVerbs
from app.desk.readiness import test_words
from app.desk.states import row_of
from app.report.core_page.lines import Line, groups_of
from app.report.outline import CoreSet, Outline, Performance, outline_of, procedures_shown
from app.report.wording import limit_text, of_value, quantity_or_plain, standing_text
from ctcore.findings import Finding, Verdict
from ctcore.job import Core, Job, ReferenceValue, places
from ctcore.procedure import Procedure

_LONGEST_TITLE: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareRow:
    """One quantity of every phase. Numbers and limits are in base units, for drawing only.

    `key` names the figure of the phase in hand by test, quantity and terminals, as an archive does.
    """

    label: str
    values: tuple[str, ...]
    verdicts: tuple[Verdict | None, ...]
    limit_text: str
    certificate_text: str
    previous_text: str
    standing_text: str
    in_hand: bool
    numbers: tuple[float | None, ...]
    limit_low: float | None
    limit_high: float | None
    unit: str
    key: tuple[str, str, str] = ("", "", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """A set with one of its cores and one of its tests in hand; `here` is the place of that core's phase."""

    title_text: str
    phases: tuple[str, ...]
    here: int
    rows: tuple[CompareRow, ...]

    @property
    def drawn(self) -> CompareRow | None:
        """The line that is worth drawing: the worst judged one in hand that has numbers and a limit."""
        can = [row for row in self.rows if row.in_hand and _can_be_drawn(row, self.here)]
        outside = [row for row in can if row.verdicts[self.here] in ("outside", "refer")]
        return next(iter(outside or can), None)


class CompareVerbs(DecisionVerbs):
    """Looking at a line to decide with its sisters."""

    def compare(self, job_id: str, core_id: str, procedure_id: str) -> Comparison | None:
        """The set of a core, lines of one test first; None where the job has no such core."""
        its = self._of(job_id)
        job, findings, derived = its.job, self._findings_to_decide(its), dict(its.derived)
        if its.last_record is not None and row_of(job.state).locked:
            record = its.last_record
            job = record.job
            derived = {(one.core_id, one.procedure_id, one.take): one.values for one in record.derived}
        place = next((one for one in places(job) if one.core.core_id == core_id), None)
        if place is None:
            return None
        outline = outline_of(job, findings, derived=derived, rejudged=None)
        core_set = next(one for one in outline.sets if core_id in one.core_ids)
        here = core_set.core_ids.index(core_id)
        title = test_words(job, core_id, procedure_id)
        shown = sorted(procedures_shown(outline, core_set), key=lambda one: one.procedure_id != procedure_id)
        rows = [
            row
            for procedure in shown
            for row in _rows(
                outline, core_set, procedure, job, here=here, in_hand=procedure.procedure_id == procedure_id
            )
        ]
        phases = tuple(member.ct.phase_text or "CT" for member in core_set.members)
        return Comparison(title_text=title, phases=phases, here=here, rows=tuple(rows))


def _rows(
    outline: Outline, core_set: CoreSet, procedure: Procedure, job: Job, *, here: int, in_hand: bool
) -> Iterable[CompareRow]:
    """The lines of a test; of a test that is not in hand only those with a value that is judged."""
    found: list[Performance | None] = [*outline.performances(core_set, procedure)]
    for performance in found or [None]:
        for group in groups_of(outline, core_set, procedure, performance):
            for line in group.lines:
                judged = any(one is not None and one.value is not None for one in line.findings)
                if in_hand or judged:
                    where = _where(core_set.members[here].core, procedure, performance, here, group.row)
                    key = (procedure.procedure_id, line.quantity_id, where)
                    named = group.title.partition(" · ")[0]
                    title = named if len(named) < _LONGEST_TITLE else ""
                    yield _row(line, title, core_set, job, key=key, in_hand=in_hand)


def _where(core: Core, procedure: Procedure, performance: Performance | None, here: int, row: str) -> str:
    """The terminals that a line is of, else its row, written small and without spaces."""
    take = performance.takes[here] if performance is not None else None
    name = row or (procedure.per_subject(take) if procedure.per_subject and take is not None else "")
    tap = core.tap(name)
    return plain(tap.terminals_text if tap is not None else name)


def plain(text: str) -> str:
    """A name as it is compared: written small, without its spaces."""
    return "".join(text.casefold().split())


def _row(
    line: Line, title: str, core_set: CoreSet, job: Job, *, key: tuple[str, str, str], in_hand: bool
) -> CompareRow:
    found = line.findings or (None,) * len(line.values)
    limited = next((one for one in found if one is not None and one.limit is not None), None)
    row = quantity_or_plain(line.quantity_id)
    return CompareRow(
        label=f"{line.label} · {title}" if title else line.label,
        values=line.values,
        verdicts=tuple(None if one is None else one.verdict for one in found),
        limit_text=limit_text(limited, row) if limited is not None else "",
        certificate_text=_known("certificate", line, found, core_set, job.references.values),
        previous_text=_known("previous", line, found, core_set, job.references.values),
        standing_text=standing_text(limited) if limited is not None else "",
        in_hand=in_hand,
        numbers=tuple(
            one.value if one is not None and isinstance(one.value, float) else None for one in found
        ),
        limit_low=limited.limit_low if limited is not None else None,
        limit_high=limited.limit_high if limited is not None else None,
        unit=row.unit or "1",
        key=key,
    )


def _known(
    kind: str,
    line: Line,
    found: Sequence[Finding | None],
    core_set: CoreSet,
    values: Sequence[ReferenceValue],
) -> str:
    """The value of certificate or earlier test; where phases have others, each with its own."""
    rows = {one.row for one in found if one is not None}
    shown = [
        of_value(one.value, quantity_or_plain(line.quantity_id))
        for one in values
        if one.kind == kind
        and one.core_id in core_set.core_ids
        and one.quantity_id == line.quantity_id
        and (not rows or one.row in rows or not one.row)
    ]
    return " / ".join(dict.fromkeys(shown))


def _can_be_drawn(row: CompareRow, here: int) -> bool:
    limited = row.limit_low is not None or row.limit_high is not None
    return limited and row.numbers[here] is not None
