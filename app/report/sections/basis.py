"""What the verdicts rest on: limits with edition and standing, decision rule, signs, knees, insulation."""

from __future__ import annotations

import re

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow
from app.report.wording import CHECK_TEXT, standing_text
from ctcore import figures
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
        ("Limits", _limits(sheet)),
        *(("Replaced limit", _override(sheet, entry)) for entry in sheet.job.references.limit_overrides),
        ("Decision rule", _DECISION_WORDS[sheet.job.references.decision_rule]),
        ("Verdicts", _VERDICTS_TEXT),
        ("Signs", _SIGNS_TEXT),
        ("Knees", _knees()),
        ("Insulation", _insulation(sheet)),
        ("Compared with", _compared(sheet)),
    ]
    rows = [GridRow((words(label, font=BOLD), words(text)), rule=0.0) for label, text in pairs if text]
    return [
        Heading("What the verdicts rest on"),
        Grid((Column(width=82.0), Column(share=1.0)), rows, pad=0.9),
    ]


def _limits(sheet: Sheet) -> str:
    sources = dict.fromkeys(
        _AT_ONE_POINT.sub("", standing_text(finding)) for finding in sheet.given.findings if finding.source
    )
    return "; ".join(sources) or "no line was judged against a limit"


def _override(sheet: Sheet, entry: LimitOverride) -> str:
    low = "none" if entry.limit_low is None else figures.text(entry.limit_low, "1")
    high = "none" if entry.limit_high is None else figures.text(entry.limit_high, "1")
    return (
        f"{sheet.place(entry.core_id)}, {entry.rule}: lower {low}, upper {high}, in base units; "
        f"{entry.reason_text or 'no reason stated'} ({entry.person_text or 'no name stated'})"
    )


def _knees() -> str:
    told = []
    for name, rule in (("10/50", RULES["iec"]), ("45°", RULES["tangent45"]), ("30°", RULES["tangent30"])):
        check = f", {rule.standing_text}: {CHECK_TEXT}" if rule.standing_text == "from memory" else ""
        told.append(f"{name}: {rule.meaning_text} ({rule.source_text}{check})")
    return "; ".join(told)


def _insulation(sheet: Sheet) -> str:
    references = sheet.job.references
    limit_set = _named(references.insulation_limit_set, {entry.set_id: entry.name for entry in LIMIT_SETS})
    correction = _named(
        references.insulation_correction, {entry.table_id: entry.name for entry in CORRECTION_TABLES}
    )
    own = (
        f"; client's limit {figures.with_unit(references.client_insulation_limit_ohm, 'Mohm')}"
        if references.client_insulation_limit_ohm is not None
        else ""
    )
    return (
        f"limit set {limit_set}{own}; corrected to 20 °C by {correction}; "
        "a reading over the range of its instrument is not corrected"
    )


def _named(key: str, names: dict[str, str]) -> str:
    """The printed name of a row; an id that this version does not know is printed as it stands."""
    return names.get(key, key.replace("_", " "))


def _compared(sheet: Sheet) -> str:
    references = sheet.job.references
    told = [f"{entry.kind} curve, {entry.source_text}" for entry in references.curves]
    told += [f"{entry.kind} value, {entry.source_text}" for entry in references.values]
    return "; ".join(dict.fromkeys(told))


BASIS = Section("basis", build, title="What the verdicts rest on")
