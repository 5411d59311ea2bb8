"""What the verdicts rest on: limits with edition and standing, decision rule, signs, knees, insulation."""

from __future__ import annotations

import re

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow
from app.report.wording import CHECK_TEXT, standing_text
from app.words import figures, retold, said
from app.words import told as told_row
from ctcore.curve import RULES
from ctcore.insulation import CORRECTION_TABLES, LIMIT_SETS
from ctcore.job import LimitOverride

_DECISION_WORDS = {
    "simple": (
        "simple acceptance: a value on its limit is within. Uncertainty is given with k = 2 where known "
        "and is not added to the value."
    ),
    "guard_band": (
        "guarded acceptance: the limit is drawn in by U (k = 2); a value on the drawn-in limit is within. "
        "Without U the line is refer."
    ),
    "four_way": (
        "four-way: pass is within, fail is outside, and a value closer to its limit than U (k = 2) is refer. "
        "Without U the line is refer."
    ),
}
_SIGNS_TEXT = (
    "ratio error is negative when the secondary reads low; phase displacement is positive when the secondary "
    "leads; the turns ratio error is positive when there are fewer secondary turns than the plate says."
)
_VERDICTS_TEXT = (
    "within: the limit is kept. Outside: it is not. Refer: a comparison, or a limit that does not strictly "
    "apply; a person decides. Not tested: no reading to judge. Not applicable: the core has no such limit."
)


# A clause is named once here, not again for every current and e.m.f.; those stand on the pages of the cores.
_AT_ONE_POINT = re.compile(r" at [\d.]+\s%\sof rated current|; e\.m\.f\. [\d.]+\sV")


def build(sheet: Sheet) -> list[Block]:
    """Label and text, one foundation a row."""
    pairs = [
        (said("Limits"), _limits(sheet)),
        *(
            (said("Replaced limit"), _override(sheet, entry))
            for entry in sheet.job.references.limit_overrides
        ),
        (said("Decision rule"), said(_DECISION_WORDS[sheet.job.references.decision_rule])),
        (said("Verdicts"), said(_VERDICTS_TEXT)),
        (said("Signs"), said(_SIGNS_TEXT)),
        (said("Knees"), _knees()),
        (said("Insulation"), _insulation(sheet)),
        (said("Compared with"), _compared(sheet)),
    ]
    rows = [GridRow((words(label, font=BOLD), words(text)), rule=0.0) for label, text in pairs if text]
    return [
        Heading(said("What the verdicts rest on")),
        Grid((Column(width=82.0), Column(share=1.0)), rows, pad=0.9),
    ]


def _limits(sheet: Sheet) -> str:
    sources = dict.fromkeys(
        standing_text(finding, _AT_ONE_POINT.sub("", finding.source))
        for finding in sheet.given.findings
        if finding.source
    )
    return "; ".join(sources) or said("no line was judged against a limit")


def _override(sheet: Sheet, entry: LimitOverride) -> str:
    low = said("none") if entry.limit_low is None else figures.text(entry.limit_low, "1")
    high = said("none") if entry.limit_high is None else figures.text(entry.limit_high, "1")
    return said(
        "{place}, {rule}: lower {low}, upper {high}, in base units; {reason} ({person})",
        place=_where(sheet, entry),
        rule=entry.rule,
        low=low,
        high=high,
        reason=entry.reason_text or said("no reason stated"),
        person=entry.person_text or said("no name stated"),
    )


def _where(sheet: Sheet, entry: LimitOverride) -> str:
    """The core that a limit of the office names, and the class that it is narrowed to."""
    place = sheet.place(entry.core_id)
    return (
        said("{place}, class {class_text}", place=place, class_text=entry.class_text)
        if entry.class_text
        else place
    )


def _knees() -> str:
    told = []
    names = {"iec": "10/50", "tangent45": "45°", "tangent30": "30°"}
    for rule_id, rule in RULES.items():
        name = names[rule_id]
        check = (
            f", {retold(rule.standing_text)}: {said(CHECK_TEXT)}"
            if rule.standing_text == "from memory"
            else ""
        )
        told.append(
            f"{name}: {told_row(f'knee.{rule_id}', rule.meaning_text)} ({retold(rule.source_text)}{check})"
        )
    return "; ".join(told)


def _insulation(sheet: Sheet) -> str:
    references = sheet.job.references
    limit_set = _named(references.insulation_limit_set, {entry.set_id: entry.name for entry in LIMIT_SETS})
    correction = _named(
        references.insulation_correction, {entry.table_id: entry.name for entry in CORRECTION_TABLES}
    )
    own = (
        said(
            "; client's limit {value}",
            value=figures.with_unit(references.client_insulation_limit_ohm, "Mohm"),
        )
        if references.client_insulation_limit_ohm is not None
        else ""
    )
    return said(
        "limit set {limit_set}{own}; corrected to 20 °C by {correction}; "
        "a reading over the range of its instrument is not corrected",
        limit_set=limit_set,
        own=own,
        correction=correction,
    )


def _named(key: str, names: dict[str, str]) -> str:
    """The printed name of a row; an id that this version does not know is printed as it stands."""
    return retold(names.get(key, key.replace("_", " ")))


def _compared(sheet: Sheet) -> str:
    references = sheet.job.references
    told = [
        said("{kind} curve, {source}", kind=entry.kind, source=entry.source_text)
        for entry in references.curves
    ]
    told += [
        said("{kind} value, {source}", kind=entry.kind, source=entry.source_text)
        for entry in references.values
    ]
    return "; ".join(dict.fromkeys(told))


BASIS = Section("basis", build, title="What the verdicts rest on")
