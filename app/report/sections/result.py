"""The result in one sentence, and every box of the job as a mark."""

from __future__ import annotations

from collections.abc import Sequence

from app.report import matrix
from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.grid import Column, Grid, GridRow
from app.report.marks import MarkedWord
from app.words import said, verdict_word
from ctcore.findings import VERDICTS, Finding, Verdict

_ORDER: tuple[Verdict, ...] = ("outside", "refer", "not tested", "within", "not applicable")


def sentence(findings: Sequence[Finding]) -> str:
    """The result in words: "12 lines. None outside, 2 refer, 1 not tested, 9 within, none not applicable."

    >>> sentence([])
    'Result: no lines.'
    """
    if not findings:
        return said("Result: no lines.")
    counts = dict.fromkeys(VERDICTS, 0)
    for finding in findings:
        counts[finding.verdict] += 1
    shown = [
        f"{counts[verdict] or said('none')} {verdict_word(verdict)}"
        for verdict in _ORDER
        if counts[verdict] or verdict == "outside"
    ]
    told = ", ".join(shown)
    lines = said("1 line") if len(findings) == 1 else said("{count} lines", count=len(findings))
    return said("Result: {lines}. {told}.", lines=lines, told=told[0].upper() + told[1:])


def build(sheet: Sheet) -> list[Block]:
    """The sentence, the table of boxes and the key of the marks; where cores are many, a row a position."""
    fits = matrix.fits(sheet)
    told = (
        said("marks: {names}", names=", ".join(sheet.job.phase_names))
        if fits
        else said("the worst of each set; every core follows")
    )
    blocks: list[Block] = [Heading(sentence(sheet.given.findings), told)]
    if not sheet.outline.sets:
        return [*blocks, words(said("The job holds no current transformer yet."))]
    marks = matrix.every_core(sheet) if fits else matrix.every_position(sheet)
    return [*blocks, *marks, _key()]


def _key() -> Block:
    cells: list[Block] = [MarkedWord([verdict], verdict, size=7.5) for verdict in _ORDER]
    cells.append(words(said("the dot is the value, the brackets are its limits"), size=7.5, align="right"))
    columns = [
        Column(width=52.0),
        Column(width=44.0),
        Column(width=56.0),
        Column(width=48.0),
        Column(width=70.0),
    ]
    return Grid([*columns, Column(share=1.0)], [GridRow(tuple(cells), rule=0.0)], pad=1.0)


RESULT = Section("result", build)
