"""What a report of test results has to hold, item by item; what was not given is said so.

Source: ISO/IEC 17025:2017, 7.8.2.1 a to p; 7.8.3.1 for conditions, conformity and uncertainty (items as
generally known, wording ours: check against the standard).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from app.report.blocks import Block, Heading, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow
from app.report.outline import procedures_shown
from app.report.sections.ending import END_TEXT, SCOPE_TEXT
from app.report.sections.opening import TITLE_TEXT, conditions, items
from app.report.wording import moment, span, utc_moment
from app.words import all_procedures, in_line, said, verdict_word

HEADING_TEXT: Final = "Particulars of the report"
NOT_GIVEN: Final = "not given"
_LEAST: Final = ("outside", "refer", "not tested")


def build(sheet: Sheet) -> list[Block]:
    """One row for each item of the standard."""
    rows = [
        GridRow(
            (words(letter, font=BOLD), words(said(label)), words(_told(told, sheet) or said(NOT_GIVEN))),
            rule=0.0,
        )
        for letter, label, told in ITEMS
    ]
    return [
        Heading(said(HEADING_TEXT), said("by the items of ISO/IEC 17025:2017, 7.8.2.1 and 7.8.3.1")),
        Grid((Column(width=14.0), Column(width=118.0), Column(share=1.0)), rows, pad=0.9),
    ]


def _told(told: str | Callable[[Sheet], str], sheet: Sheet) -> str:
    return said(told) if isinstance(told, str) else told(sheet)


def _laboratory(sheet: Sheet) -> str:
    header = sheet.job.header
    name = header.organisation_text or said("name not given")
    return f"{name}; {header.organisation_address_text or said('address not given')}"


def _identification(sheet: Sheet) -> str:
    return said(
        "sheet {number}, revision {revision}, on every page with its number and their count; "
        "the last one ends with “{end}”",
        number=sheet.job.header.number_text,
        revision=sheet.given.revision,
        end=said(END_TEXT),
    )


def _customer(sheet: Sheet) -> str:
    return sheet.job.header.customer_text and said(
        "{customer}; no other contact not given",
        customer=sheet.job.header.customer_text,
    )


def _methods(sheet: Sheet) -> str:
    shown = {
        one.procedure_id for entry in sheet.outline.sets for one in procedures_shown(sheet.outline, entry)
    }
    names = [in_line(test.name) for test in all_procedures() if test.procedure_id in shown]
    if not names:
        return ""
    return said(
        "{names}; how each was done stands over its results, editions under “Limits”", names=", ".join(names)
    )


def _items(sheet: Sheet) -> str:
    cts = [ct for position in sheet.job.positions for ct in position.cts]
    if not cts:
        return ""
    unnumbered = sum(not ct.serial_text for ct in cts)
    unread = sum(not ct.plate_confirmed for ct in cts)
    told = [
        said(
            "{items}, each with position, phase, serial number and plate on the page of its core",
            items=items(sheet),
        )
    ]
    told += [said("serial number not given for {unnumbered}", unnumbered=unnumbered)] if unnumbered else []
    told += [said("plate not confirmed on site for {unread}", unread=unread)] if unread else []
    seen = any(entry.procedure_id == "visual" for entry in sheet.job.readings)
    return "; ".join(
        [
            *told,
            said("condition: see the visual inspection") if seen else said("condition not given"),
        ]
    )


def _issued(sheet: Sheet) -> str:
    if sheet.given.issued_at_utc is None:
        return said("not issued: this is a draft")
    return said(
        "frozen {utc_moment}; the approval carries its own time",
        utc_moment=utc_moment(sheet.given.issued_at_utc),
    )


def _deviations(sheet: Sheet) -> str:
    job = sheet.job
    untested = sum(finding.verdict == "not tested" for finding in sheet.given.findings)
    struck = sum(entry.struck for entry in job.readings)
    counts = (
        (said("deviations:"), len(job.deviations)),
        (said("limits replaced by the office:"), len(job.references.limit_overrides)),
        (said("lines not tested:"), untested),
        (said("readings struck:"), struck),
    )
    told = ", ".join(f"{what} {count or said('none')}" for what, count in counts)
    return said("{told}; each with its reason", told=told)


def _authorised(sheet: Sheet) -> str:
    declared = sheet.given.declaration
    if declared is None or not sheet.given.frozen:
        return said("nobody yet: this is a draft")
    at = moment(declared.at_utc, declared.utc_offset_minutes)
    return said(
        "tested by {name}, {at}; who approves stands under “Signatures”", name=declared.name_text, at=at
    )


def _external(sheet: Sheet) -> str:
    references = sheet.job.references
    given = len(references.values) + len(references.curves)
    others = (
        said(
            "{given} values and curves of factory or earlier tests, compared with and named as such; ",
            given=given,
        )
        if given
        else ""
    )
    return said("{others}no reading of this report is marked as another provider's", others=others)


def _conformity(sheet: Sheet) -> str:
    counts = (sum(one.verdict == verdict for one in sheet.given.findings) for verdict in _LEAST)
    told = ", ".join(
        f"{count or said('no')} {verdict_word(verdict)}"
        for count, verdict in zip(counts, _LEAST, strict=True)
    )
    return said(
        "line by line on the page of each core: {told} of {count} lines",
        told=told,
        count=len(sheet.given.findings),
    )


def _uncertainty(sheet: Sheet) -> str:
    known = sum(finding.u_expanded is not None for finding in sheet.given.findings)
    told = said(
        "expanded, k = 2, beside its value for {known} of {count} lines",
        known=known,
        count=len(sheet.given.findings),
    )
    return said("{told}; not given where the instrument states none", told=told)


def _results(sheet: Sheet) -> str:
    return (
        said("{count} lines with their units on the pages of the cores", count=len(sheet.given.findings))
        if sheet.given.findings
        else ""
    )


ITEMS: Final[tuple[tuple[str, str, str | Callable[[Sheet], str]], ...]] = (
    ("a", "Title", TITLE_TEXT),
    ("b", "Testing organisation", _laboratory),
    ("c", "Place of the tests", lambda sheet: sheet.job.header.site_text),
    ("d", "Identification", _identification),
    ("e", "Customer", _customer),
    ("f", "Methods", _methods),
    ("g", "Items", _items),
    ("h", "Receipt, sampling", "tested where they stand: nothing was received or sampled"),
    ("i", "Dates of the tests", lambda sheet: span(sheet.job.readings)),
    ("j", "Date of issue", _issued),
    ("k", "Sampling plan", "none: every item is listed, tested or not"),
    ("l", "Scope", SCOPE_TEXT),
    ("m", "Results", _results),
    ("n", "Departures from method", _deviations),
    ("o", "Authorised by", _authorised),
    ("p", "Of other providers", _external),
    ("+", "Conditions", conditions),
    ("+", "Conformity", _conformity),
    ("+", "Decision rule", "see \u201cWhat the verdicts rest on\u201d"),
    ("+", "Uncertainty", _uncertainty),
    (
        "+",
        "Opinions",
        "none: a line that needs a person's judgement is refer, and the decision is named",
    ),
)

PARTICULARS = Section("particulars", build, title=HEADING_TEXT)
