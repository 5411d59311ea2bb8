"""What a newer version of the program would say, beside the frozen findings and never instead of them."""

from __future__ import annotations

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.wording import limit_text, of_value, quantity_or_plain, with_symbol
from app.words import said, verdict_word
from ctcore import __version__
from ctcore.findings import Finding


def build(sheet: Sheet) -> list[Block]:
    """The lines whose judgement differs; nothing where none does or nothing was judged again."""
    if sheet.given.rejudged is None:
        return []
    frozen = {_key(finding): finding for finding in sheet.given.findings}
    newer = {_key(finding): finding for finding in sheet.given.rejudged}
    keys = [key for key in dict.fromkeys([*frozen, *newer]) if frozen.get(key) != newer.get(key)]
    if not keys:
        return []
    columns = (Column(share=0.44), Column(share=0.28), Column(share=0.28))
    titles = (
        said("Line"),
        said("As frozen, Coreleaf {program_version}", program_version=sheet.given.program_version),
        said("Judged again, Coreleaf {version}", version=__version__),
    )
    rows = [_row(sheet, frozen.get(key), newer.get(key)) for key in keys]
    told = said(
        "The findings on this sheet are those of the frozen record and stay in force. A newer version of the "
        "program judges these lines differently:"
    )
    return [
        Heading(said("Judgement of the newer program version, for information")),
        words(told),
        Grid(columns, [head_row(columns, titles), *rows], heads=1),
    ]


def _key(finding: Finding) -> tuple[str, str, str, str, int, str]:
    return (finding.core, finding.procedure, finding.row, finding.quantity, finding.take, finding.rule)


def _row(sheet: Sheet, frozen: Finding | None, newer: Finding | None) -> GridRow:
    shown = frozen or newer
    assert shown is not None
    name = quantity_or_plain(shown.quantity).name
    where = f"{sheet.place(shown.core, shown.procedure)}: {name}"
    return GridRow((words(where), words(_told(frozen)), words(_told(newer))))


def _told(finding: Finding | None) -> str:
    if finding is None:
        return said("no such line")
    row = quantity_or_plain(finding.quantity)
    value = with_symbol(of_value(finding.value, row), row)
    limit = limit_text(finding, row)
    return f"{verdict_word(finding.verdict)}: {value}{', ' + limit if limit else ''}"


REJUDGED = Section("rejudged", build, title="Judged again by a newer version")
