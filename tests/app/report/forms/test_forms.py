"""Blank field forms read back with poppler, and the limits that stand on them."""

from __future__ import annotations

import dataclasses
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from app.exchange import jobfile
from app.report.forms import FormsInput, form_number, render
from app.report.forms.cells import CELL, Cells, Table
from app.report.forms.content import Blank, forms_of
from app.report.forms.limits import limits_of
from app.report.page_pictures import PagedFile
from ctcore.errors import BadInput
from ctcore.job import Job, Place, places
from ctcore.procedures import PROCEDURES, procedure
from tests.app.report.reading_back import flat, fonts_of, overlapping, text_of, words_of

SAMPLE = Path(__file__).resolve().parents[4] / "samples" / "line_bay.json"
# Practice: 9 mm is the least line for a gloved hand with a thick pencil (common practice, no source).
LEAST_PT = 9.0 * 72.0 / 25.4


@pytest.fixture(scope="module")
def job() -> Job:
    return jobfile.load(SAMPLE)


@pytest.fixture(scope="module")
def every_test(job: Job) -> Job:
    """One core for which every test is planned."""
    position = job.positions[0]
    core = dataclasses.replace(
        position.cts[0].cores[0], procedures=tuple(test.procedure_id for test in PROCEDURES)
    )
    ct = dataclasses.replace(position.cts[0], cores=(core,))
    return dataclasses.replace(job, readings=(), positions=(dataclasses.replace(position, cts=(ct,)),))


def first_place(job: Job) -> Place:
    return places(job)[0]


def with_class(job: Job, class_text: str) -> Job:
    position = job.positions[0]
    core = dataclasses.replace(position.cts[0].cores[0], class_text=class_text)
    ct = dataclasses.replace(position.cts[0], cores=(core,))
    return dataclasses.replace(job, positions=(dataclasses.replace(position, cts=(ct,)),))


def pages(pdf: bytes) -> list[str]:
    with PagedFile(pdf) as file:
        return [flat(file.words(page)) for page in range(file.page_count)]


def test_each_page_names_job_core_test_form_number_and_page(job: Job) -> None:
    made = render(FormsInput(job))
    told = pages(made.data)
    assert made.page_count == len(told) == sum(1 for _ in forms_of(FormsInput(job)))
    assert [
        number
        for number, words in enumerate(told, start=1)
        if f"{made.number} page {number} of {len(told)}" not in words
        or "SB-2026-014" not in words
        or "NOT A RECORD UNTIL KEYED" not in words
        or "Line side of the breaker" not in words
    ] == []
    assert "L1, core 1 1 Insulation resistance" in told[0]


def test_the_same_job_gives_the_same_bytes_and_another_plate_another_number(job: Job) -> None:
    assert render(FormsInput(job)).data == render(FormsInput(job)).data
    assert form_number(FormsInput(job)) != form_number(FormsInput(with_class(job, "5P10 15 VA")))
    assert form_number(FormsInput(job)) != form_number(FormsInput(job, paper="Letter"))


def test_keying_readings_leaves_the_number_as_it_is(job: Job) -> None:
    assert form_number(FormsInput(dataclasses.replace(job, readings=()))) == form_number(FormsInput(job))


def test_cores_and_tests_can_be_chosen(job: Job) -> None:
    core_id = first_place(job).core.core_id
    (form,) = forms_of(FormsInput(job, (core_id,), ("ratio",)))
    assert (form.place_text, form.test_text) == (
        "Line side of the breaker, L1, core 1",
        "3 Ratio and polarity",
    )
    with pytest.raises(BadInput, match="none of the tests"):
        render(FormsInput(job, (core_id,), ("burden",)))


def test_plate_order_and_cautions_stand_on_the_form(job: Job) -> None:
    told = pages(render(FormsInput(job, procedure_ids=("resistance",))).data)[0]
    assert "Serial number B24-0311" in told.replace("\u00a0", " ")
    assert "1S1-1S3 600/1" in told
    assert "1 Insulation 2 Resistance 3 Ratio 4 Excitation" in told
    assert "Run the current down or discharge, wait until it reads zero" in told
    assert "not known yet" not in told
    assert "Local law, the owner's rules and the person in charge come first." in told


@pytest.mark.parametrize(
    ("class_text", "test_id", "row", "limit"),
    [
        # IEC 61869-2:2012, table 205: 5P ratio error 1 % at rated current, 10P 3 %.
        ("5P20 15 VA", "ratio", "1S1-1S3", "ratio error: within ±1\u00a0%"),
        ("10P20 15 VA", "ratio", "1S1-1S3", "ratio error: within ±3\u00a0%"),
        # IEC 61869-2:2012, 5.6.202: composite error 5 and 10 % at the accuracy limit.
        ("5P20 15 VA", "excitation", "", "composite error, indirect: 5\u00a0% at most"),
        ("10P20 15 VA", "excitation", "", "composite error, indirect: 10\u00a0% at most"),
    ],
)
def test_limits_are_those_of_the_class(job: Job, class_text: str, test_id: str, row: str, limit: str) -> None:
    place = first_place(with_class(job, class_text))
    found = limits_of(job, place, procedure(test_id), {"ratio_method": "current"})
    assert limit in found[row]


def test_the_resistance_of_the_plate_stands_at_the_whole_winding_alone(job: Job) -> None:
    found = limits_of(job, first_place(job), procedure("resistance"), {})
    assert found["1S1-1S3"] == ("winding resistance at 75 °C: 3\u00a0Ω at most",)
    assert not [words for words in found["1S1-1S2"] if "75 °C" in words]


def test_a_limit_that_hangs_on_what_is_read_is_not_printed(job: Job) -> None:
    """IEC 61869-2:2012, table 201: class 0.5 has other limits at 5, 20 and 100 % of rated current."""
    place = first_place(with_class(job, "0.5 10 VA"))
    found = limits_of(job, place, procedure("ratio"), {"ratio_method": "instrument"})
    assert found
    assert not [words for row in found.values() for words in row if "error" in words or "phase" in words]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_nothing_lies_on_anything_else(every_test: Job, paper: str, tmp_path: Path) -> None:
    made = render(FormsInput(every_test, paper=paper))
    printed = words_of(made.data, tmp_path)
    width, height = {"A4": (595.3, 841.9), "Letter": (612.0, 792.0)}[paper]
    assert overlapping(printed) == []
    assert [word.text for word in printed if word.right > width - 26 or word.bottom > height - 14] == []
    assert all(" yes yes " in line for line in fonts_of(made.data, tmp_path))


def test_every_line_and_cell_is_high_enough_for_a_gloved_hand(every_test: Job) -> None:
    assert CELL >= LEAST_PT
    for form in forms_of(FormsInput(every_test)):
        for span in (240.0, 515.0):
            table = Table(form, 0, len(form.lines))
            assert table.height(span) >= LEAST_PT * len(form.lines)
    assert Cells((Blank("Held for, s"),)).height(515.0) >= LEAST_PT


def test_a_test_of_many_taps_goes_on_with_its_head_and_cautions(job: Job) -> None:
    place = first_place(job)
    tap = place.core.taps[0]
    taps = tuple(dataclasses.replace(tap, tap_id=f"t{n}", terminals_text=f"X{n}-X{n + 1}") for n in range(40))
    core = dataclasses.replace(place.core, taps=taps, service_tap_id=None)
    ct = dataclasses.replace(place.ct, cores=(core,))
    many = dataclasses.replace(job, readings=(), positions=(dataclasses.replace(place.position, cts=(ct,)),))
    told = pages(render(FormsInput(many, procedure_ids=("resistance",))).data)
    assert len(told) > 2
    assert [words.count("X39-X40 ") > 0 for words in told][-1]
    assert all("Direct current leaves the core magnetised." in words for words in told)
    rows = [
        n for n in range(40) if sum(f"X{n}-X{n + 1} 300/1" in words.split("Judged by")[-1] for words in told)
    ]
    assert rows == list(range(40))


def test_the_answer_that_chose_the_columns_is_ticked(job: Job) -> None:
    (form, *_) = forms_of(FormsInput(dataclasses.replace(job, readings=()), (), ("ratio",)))
    assert form.method[0].ticked == "by voltage"
    assert [column.caption for column in form.columns][:2] == ["Secondary, V", "Primary, mV"]


def test_most_of_a_page_is_left_to_write_on(job: Job, tmp_path: Path) -> None:
    """Read back by pdftoppm: ink on paper, in the rain, is what the technician adds."""
    if shutil.which("pdftoppm") is None:
        pytest.fail("pdftoppm is wanted: apt-get install poppler-utils")
    (tmp_path / "f.pdf").write_bytes(render(FormsInput(job, procedure_ids=("excitation",))).data)
    subprocess.run(
        ["pdftoppm", "-gray", "-r", "50", "-l", "1", "f.pdf", "p"], cwd=tmp_path, check=True, timeout=60
    )
    (drawn,) = tmp_path.glob("p*.pgm")
    head, body = drawn.read_bytes().split(b"\n255\n", 1)
    wide, high = (int(part) for part in head.split()[1:3])
    ink = np.frombuffer(body, np.uint8).reshape(high, wide) < 128
    assert ink.mean() < 0.2
    assert ink.any()


def test_the_text_of_a_form_has_no_mark_up_and_no_gap(every_test: Job, tmp_path: Path) -> None:
    told = text_of(render(FormsInput(every_test)).data, tmp_path)
    assert "{" not in told
    assert "None" not in told


def test_a_form_shows_how_its_test_is_wired_from_the_terminals_of_the_plate(job: Job) -> None:
    core = first_place(job).core
    page = pages(render(FormsInput(job, (core.core_id,), ("ratio",))).data)[0]

    assert "Hook-up" in page
    assert "links lifted" in page
    assert "test instruments – earth bar" in page
    assert "source, return – 1S2" in page


def test_links_have_a_line_on_paper_for_every_terminal(every_test: Job) -> None:
    core_id = first_place(every_test).core.core_id
    page = pages(render(FormsInput(every_test, (core_id,), ("links",))).data)[0]

    assert "1S1 link" in page
    assert "Secondary earth" in page
