"""The first page, the contents with their page numbers, and the outline of the reader."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from app.report.content import SheetInput
from app.report.sheet import render
from ctcore.job import Job
from tests.app.report.making import draft, frozen, set_of
from tests.app.report.reading_back import flat, overlapping, text_of, words_of

Printed = Callable[[SheetInput], str]


def _many(count: int, paper: str = "A4", *, per_bay: int = 1) -> Job:
    """So many positions of three phases with so many cores each, without readings."""
    one = dataclasses.replace(set_of(("L1", "L2", "L3")), readings=())
    position = one.positions[0]
    positions = tuple(
        dataclasses.replace(
            position,
            position_id=f"bay{number}",
            name_text=f"Bay {number}",
            cts=tuple(
                dataclasses.replace(
                    ct,
                    ct_id=f"{number}-{ct.ct_id}",
                    cores=tuple(
                        dataclasses.replace(ct.cores[0], core_id=f"{number}-{ct.ct_id}-{core}", number=core)
                        for core in range(1, per_bay + 1)
                    ),
                )
                for ct in position.cts
            ),
        )
        for number in range(1, count + 1)
    )
    return dataclasses.replace(one, positions=positions, header=dataclasses.replace(one.header, paper=paper))


def _outline(pdf: bytes) -> list[tuple[int, str, int]]:
    """Depth, title and page of every entry."""
    with pikepdf.open(BytesIO(pdf)) as opened, opened.open_outline() as outline:
        pages = {page.objgen: number for number, page in enumerate(opened.pages, start=1)}

        def walked(items: list[pikepdf.OutlineItem], depth: int) -> list[tuple[int, str, int]]:
            return [
                found
                for item in items
                for found in (
                    (depth, str(item.title), pages[_target(opened, item).objgen]),
                    *walked(item.children, depth + 1),
                )
            ]

        return walked(outline.root, 0)


def _target(pdf: pikepdf.Pdf, item: pikepdf.OutlineItem) -> pikepdf.Object:
    named = item.destination
    found = named if isinstance(named, pikepdf.Array) else pdf.Root.Dests[str(named)]
    return found[0]


def test_the_outline_leads_to_sections_positions_and_cores(three_phases: Job) -> None:
    found = _outline(render(frozen(three_phases)))
    cores = [(depth, title) for depth, title, _ in found if depth or title == "Cores"]
    assert cores == [(0, "Cores"), (1, "Line side"), (2, "core 1: PX Ek 250 V Ie 60 mA Rct 3 ohm")]
    assert found[0][1:] == ("Signatures", 1)


def test_every_entry_stands_on_the_page_that_the_contents_name(three_phases: Job, tmp_path: Path) -> None:
    pdf = render(frozen(three_phases))
    pages = text_of(pdf, tmp_path).split("\f")
    listed = flat(pages[0])
    sections = [(title, page) for depth, title, page in _outline(pdf) if depth == 0]
    assert [title for title, page in sections if f"{title} {page}" not in listed] == []
    # The title over the cores is that of the core; each other section repeats its own.
    own = [(title, page) for title, page in sections if title not in ("Cores", "Cautions")]
    assert [title for title, page in own if title.split(",")[0] not in flat(pages[page - 1])] == []


def test_exceptions_begin_on_the_second_page(three_phases: Job, tmp_path: Path) -> None:
    pages = text_of(render(frozen(three_phases, signed=True)), tmp_path).split("\f")
    assert "Signatures" in pages[0]
    assert "every line stands on the page of its core" in pages[1]


def test_a_job_without_exceptions_says_so(three_phases: Job, printed: Printed) -> None:
    good = [finding for finding in frozen(three_phases).findings if finding.verdict == "within"]
    assert "No line is outside, refer or not tested." in printed(frozen(three_phases, findings=good))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("count", [15, 60])
def test_the_summary_of_a_long_job_is_one_page(count: int, paper: str, tmp_path: Path) -> None:
    pdf = render(frozen(_many(count, paper), signed=True))
    pages = text_of(pdf, tmp_path).split("\f")
    assert "Witnessed by" in pages[0]
    assert "the worst of each set; every core follows" in pages[0]
    assert overlapping(words_of(pdf, tmp_path)) == []


def test_a_long_job_lists_every_core_after_the_exceptions(tmp_path: Path) -> None:
    pages = text_of(render(frozen(_many(40))), tmp_path).split("\f")
    whole = [number for number, page in enumerate(pages) if page.count("core 1: PX") >= 10]
    exceptions = [number for number, page in enumerate(pages) if "every line stands on" in page]
    boxes = [
        number for number, page in enumerate(pages) if "Every test of every core" in page.split("Sheet")[0]
    ]
    assert 0 < exceptions[0] < whole[0] < boxes[-1]
    listed = "".join(pages[number] for number in whole)
    assert [number for number in range(1, 41) if f"Bay {number} " not in listed] == []


def test_every_position_is_named_with_the_number_of_its_cores(printed: Printed) -> None:
    text = printed(draft(_many(4, per_bay=5)))
    assert re.findall(r"Bay (\d) 15 ", text) == ["1", "2", "3", "4"]


def test_positions_beyond_a_page_become_one_row(printed: Printed) -> None:
    assert "All 60 positions 180" in printed(draft(_many(60)))
