"""The sections of the sheet and their list."""

from __future__ import annotations

from importlib import resources

import pytest

from app.report.content import Section, sheet_of
from app.report.sections import SECTIONS
from ctcore.job import Header, Job
from tests.app.report.making import draft


def test_every_file_of_the_folder_is_listed_and_the_reverse() -> None:
    folder = resources.files("app.report.sections")
    files = {entry.name.removesuffix(".py") for entry in folder.iterdir() if entry.name.endswith(".py")}
    assert {section.section_id for section in SECTIONS} == files - {"__init__"}


def test_the_title_comes_first_and_the_end_mark_last() -> None:
    assert [SECTIONS[0].section_id, SECTIONS[-1].section_id] == ["opening", "ending"]


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.section_id)
def test_every_section_takes_an_empty_job(section: Section) -> None:
    blocks = section.build(sheet_of(draft(Job(job_id="j", header=Header(number_text="7")))))
    assert [block for block in blocks if block.height(500.0) < 0.0] == []
