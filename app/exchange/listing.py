"""Findings and notices as lines to read and as plain data to go on with."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any, Final

from ctcore import figures, plain
from ctcore.findings import VERDICTS, Finding, worst_first
from ctcore.job import Core, Job, Place, places
from ctcore.judgement.limit import shown
from ctcore.notices import Notice
from ctcore.procedures import PROCEDURES
from ctcore.quantities import QUANTITIES, Quantity

HEADINGS: Final = ("Place", "Test", "Quantity", "Value", "Limit", "Verdict", "Why")
_DIGITS: Final = 4
_GAP: Final = "  "

_QUANTITIES: Final = {row.quantity_id: row for row in QUANTITIES}
_TESTS: Final = {entry.procedure_id: entry for entry in PROCEDURES}


def as_plain(job: Job, findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """A dictionary per finding, worst first: every field of `Finding`, and where the core stands in words."""
    where = {place.core.core_id: _place_words(place) for place in places(job)}
    return [{"place": where[one.core], **plain.flatten(one)} for one in worst_first(findings)]


def as_table(job: Job, findings: Iterable[Finding]) -> str:
    """Lines in columns, worst first; the reason stands last and is not wrapped."""
    at = {place.core.core_id: place for place in places(job)}
    rows = [HEADINGS, *(_line(at[one.core], one) for one in worst_first(findings))]
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEADINGS) - 1)]
    return "\n".join(_joined(row, widths) for row in rows)


def notices_plain(job: Job, found: Iterable[Notice]) -> list[dict[str, Any]]:
    """A dictionary per thing noticed, with every field of `Notice`, and where its cores stand in words."""
    where = {place.core.core_id: _place_words(place) for place in places(job)}
    return [{"places": [where[core] for core in one.cores], **plain.flatten(one)} for one in found]


def notices_text(found: Sequence[Notice]) -> str:
    """What was noticed, a line each with its question; empty where nothing was.

    >>> notices_text([])
    ''
    """
    lines = [f"- {_flat(one.sentence)}{_offered(one)}" for one in found]
    return "\n".join(["Noticed, no verdict rests on it:", *lines]) if found else ""


def _offered(notice: Notice) -> str:
    return "" if notice.offer is None else f" Offered, not done: {notice.offer.words}."


def counts_text(findings: Iterable[Finding]) -> str:
    """How many findings have each verdict, in words.

    >>> counts_text([])
    'no findings'
    """
    counted = Counter(one.verdict for one in findings)
    return ", ".join(f"{counted[word]} {word}" for word in VERDICTS if counted[word]) or "no findings"


def _joined(row: Sequence[str], widths: Sequence[int]) -> str:
    cells = [text.ljust(width) for text, width in zip(row, widths, strict=False)]
    return _GAP.join([*cells, row[-1]]).rstrip()


def _line(place: Place, finding: Finding) -> tuple[str, ...]:
    row = _QUANTITIES.get(finding.quantity)
    test = _TESTS.get(finding.procedure)
    where = _place_words(place)
    if finding.row:
        where += f", {_row_words(place.core, finding)}"
    return tuple(
        _flat(text)
        for text in (
            where,
            test.short_name if test else finding.procedure,
            row.name if row else finding.quantity,
            _figure(finding.value, row),
            _limit_figure(finding, row),
            finding.verdict,
            finding.text,
        )
    )


def _place_words(place: Place) -> str:
    return f"{place.position.name_text}, {place.ct.phase_text} core {place.core.number}"


def _row_words(core: Core, finding: Finding) -> str:
    tap = core.tap(finding.row)
    if tap is not None:
        return tap.terminals_text
    test = _TESTS.get(finding.procedure)
    known = {entry.row: entry.words for entry in test.rows_of(core)} if test else {}
    return known.get(finding.row, f"row {finding.row}")


def _limit_figure(finding: Finding, row: Quantity | None) -> str:
    """A limit has all its digits, so that it is never rounded across the value."""
    if finding.limit_low is not None and finding.limit_high is not None:
        return f"{_whole(finding.limit_low, row)} to {_whole(finding.limit_high, row)}"
    if isinstance(finding.limit, float | int):
        return _whole(finding.limit, row)
    return _figure(finding.limit, row)


def _figure(value: float | str | None, row: Quantity | None) -> str:
    if value is None:
        return figures.NOTHING
    if isinstance(value, str):
        choices = row.choices if row else ()
        return next((choice.words for choice in choices if choice.value == value), value)
    return shown(row.quantity_id, value) if row else figures.text(value, "1", significant=_DIGITS)


def _whole(value: float, row: Quantity | None) -> str:
    return figures.with_unit(value, row.unit if row and row.unit else "1")


def _flat(text: str) -> str:
    """Names are anything a job file holds: a line end in one would break the table."""
    return "".join(mark if mark.isprintable() else " " for mark in text)
