"""The title and the job block."""

from __future__ import annotations

from app.report.blocks import Beside, Block, Heading, Space, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD, TITLE
from app.report.grid import facts
from app.report.wording import span
from app.words import figures, said

TITLE_TEXT = "Current transformer commissioning sheet"


def build(sheet: Sheet) -> list[Block]:
    """Title, site, and what identifies the job."""
    header = sheet.job.header
    pairs = [(label, value) for label, value in _left(sheet) + _right(sheet) if value]
    half = (len(pairs) + 1) // 2
    blocks: list[Block] = []
    organisation = " · ".join(
        part for part in (header.organisation_mark_text, header.organisation_text) if part
    )
    if organisation:
        blocks.append(words(organisation, font=BOLD, size=9.5))
    if header.organisation_address_text:
        blocks.append(words(header.organisation_address_text, size=8.0))
    blocks.append(words(said(TITLE_TEXT), font=TITLE, size=16.0))
    name = header.title_text or header.site_text or said("Job {number}", number=header.number_text)
    state = said(sheet.given.state_words) if sheet.given.frozen else said("draft, not frozen")
    blocks.append(
        Heading(
            name,
            said("revision {revision}, {state}", revision=sheet.given.revision, state=state),
            size=12.0,
            above=0.0,
        )
    )
    blocks.append(Space(3.0))
    blocks.append(
        Beside((244.0, facts(pairs[:half])), (0.0, facts(pairs[half:])), gap=14.0)
        if len(pairs) > 1
        else facts(pairs)
    )
    return blocks


def _left(sheet: Sheet) -> list[tuple[str, str]]:
    header = sheet.job.header
    return [
        (said("Job"), header.number_text),
        (said("Customer"), header.customer_text),
        (said("Site"), header.site_text),
        (
            said("Work order"),
            ", ".join(part for part in (header.work_order_text, header.work_type_text) if part),
        ),
        (said("Tested"), span(sheet.job.readings) or said("no readings")),
        (said("Items"), items(sheet)),
        (said("Conditions"), conditions(sheet)),
    ]


def _right(sheet: Sheet) -> list[tuple[str, str]]:
    header = sheet.job.header
    return [
        (said("Drawings"), header.drawings_text),
        (said("Relay settings"), header.relay_settings_text),
        (said("Permits"), _permits(sheet)),
        (said("Supply"), header.supply_text),
        (said("Outage ends"), header.outage_ends_text),
        (said("Earlier sheet"), header.earlier_sheet_text),
        (said("Times"), said("local time of the site, {zone}", zone=header.zone)),
    ]


def _permits(sheet: Sheet) -> str:
    """The safety documents: kind, number, issued and cancelled."""
    header = sheet.job.header
    listed = [
        " ".join(
            part
            for part in (
                permit.kind_text,
                permit.number_text,
                said("issued {issued}", issued=permit.issued_text) if permit.issued_text else "",
                said("cancelled {cancelled}", cancelled=permit.cancelled_text)
                if permit.cancelled_text
                else "",
            )
            if part
        )
        for permit in header.permits
    ]
    return "; ".join(part for part in (header.permits_text, *listed) if part)


def items(sheet: Sheet) -> str:
    """How many sets, transformers and cores, and at which frequency."""
    job = sheet.job
    cts = [ct for position in job.positions for ct in position.cts]
    parts = [
        _count(len(job.positions), "1 set", "{count} sets"),
        _count(len(cts), "1 CT", "{count} CTs"),
        _count(sum(len(ct.cores) for ct in cts), "1 core", "{count} cores"),
        figures.with_unit(job.frequency_rated_hz, "Hz"),
    ]
    return ", ".join(parts)


def _count(count: int, one: str, several: str) -> str:
    return said(one) if count == 1 else said(several, count=count)


def conditions(sheet: Sheet) -> str:
    """Temperature, humidity and weather, as far as they were given."""
    header = sheet.job.header
    parts = []
    if header.ambient_degc is not None:
        parts.append(figures.with_unit(header.ambient_degc, "degC"))
    if header.humidity_percent is not None:
        parts.append(said("{value} RH", value=figures.with_unit(header.humidity_percent, "percent")))
    if header.weather_text:
        parts.append(header.weather_text)
    return ", ".join(parts)


OPENING = Section("opening", build)
