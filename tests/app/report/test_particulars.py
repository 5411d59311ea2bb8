"""The items that a report of test results has to hold, by the letters of ISO/IEC 17025:2017, 7.8.2.1."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import pytest

from app.report.content import SheetInput, sheet_of
from app.report.sections.particulars import ITEMS, NOT_GIVEN, build
from ctcore.job import Header, Job
from tests.app.report.making import draft, frozen, set_of

Printed = Callable[[SheetInput], str]

# ISO/IEC 17025:2017, 7.8.2.1, a to p, as generally known; the wording of the standard is not repeated.
LETTERS = "abcdefghijklmnop"
FULL = Header(
    number_text="1042", customer_text="Valley Networks (invented)", site_text="Sornbeck (invented)",
    organisation_text="Test office (invented)", organisation_address_text="Dock Lane 1 (invented)",
    ambient_degc=11.0, humidity_percent=64.0, weather_text="dry",
)  # fmt: skip


def test_every_item_of_the_standard_has_its_row() -> None:
    assert [letter for letter, _, _ in ITEMS if letter != "+"] == list(LETTERS)


@pytest.mark.parametrize(("letter", "label"), [(letter, label) for letter, label, _ in ITEMS])
def test_each_item_is_printed_or_said_to_be_missing(letter: str, label: str, printed: Printed) -> None:
    empty = printed(draft(Job(job_id="j", header=Header(number_text="7"))))
    rows = empty.split("7.8.2.1 and 7.8.3.1")[1]
    assert f"{letter} {label} " in rows


@pytest.mark.parametrize("label", ["Place of the tests", "Customer", "Methods", "Items", "Results"])
def test_what_an_empty_job_lacks_is_not_given(label: str) -> None:
    sheet = sheet_of(draft(Job(job_id="j", header=Header(number_text="7"))))
    told = next(told for _, name, told in ITEMS if name == label)
    assert not told(sheet)
    assert build(sheet)


def test_an_empty_job_says_not_given_for_each_of_them(printed: Printed) -> None:
    text = printed(draft(Job(job_id="j", header=Header(number_text="7"))))
    assert text.split("Particulars of the report")[-1].count(NOT_GIVEN) >= 7


@pytest.mark.parametrize(
    "told",
    [
        "a Title Current transformer commissioning sheet",
        "b Testing organisation Test office (invented); Dock Lane 1 (invented)",
        "c Place of the tests Sornbeck (invented)",
        "d Identification sheet 1042, revision 1",
        "e Customer Valley Networks (invented)",
        "g Items 1 set, 3 CTs, 3 cores, 50 Hz",
        "i Dates of the tests 13 Oct 2026 09:00",
        "j Date of issue frozen 13 Oct 2026 09:31 UTC",
        "l Scope Results relate only to the cores listed.",
        "o Authorised by tested by Ilse Marren, 13 Oct 2026 11:31 +02:00",
        "+ Conditions 11 °C, 64 % RH, dry",
    ],
)
def test_what_was_given_is_printed(told: str, printed: Printed) -> None:
    job = dataclasses.replace(set_of(("L1", "L2", "L3")), header=FULL)
    assert told in printed(frozen(job))
