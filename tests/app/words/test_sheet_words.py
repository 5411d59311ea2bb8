"""A sheet in the language of the test: what is not marked is the record's own, or on a list that shrinks."""

from __future__ import annotations

import dataclasses
import json
import subprocess
from pathlib import Path
from typing import Final

import pytest

import samples
from app.report.forms import FormsInput
from app.report.forms import render as render_forms
from app.report.sheet import render
from app.words import speak
from app.words.tables import PSEUDO
from ctcore.job import Job, from_plain
from tests.app.report.making import draft, frozen
from tests.app.words.leftover import kept_words, left_over, words_in

# Word of the sheet that stays English for now, and why. Take out what was mended; nothing is added.
STAYS: Final = {
    "coreleaf": "the name of the program",
    "utc": "the name of a time",
    "min": "a unit",
    "efg": "letters that the limits are named by",
    "ieee": "a source is named as it calls itself",
}
DECLARED: Final = words_in("Ilse Marren I took these readings as recorded.")


def job_in(language: str) -> Job:
    data = json.loads(samples.FIRST.file.read_text("utf-8"))
    job = from_plain(data)
    return dataclasses.replace(job, header=dataclasses.replace(job.header, sheet_language=language))


def told(pdf: bytes, tmp_path: Path) -> str:
    """The words of a sheet in the order in which they were drawn."""
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf)
    done = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, check=True)
    return done.stdout.decode()


def test_every_fixed_word_of_the_sheet_goes_through_the_tables(tmp_path: Path) -> None:
    job = job_in(PSEUDO)
    left = left_over(told(render(frozen(job)), tmp_path), kept_words(job) | DECLARED)

    assert left - set(STAYS) == set()


def test_every_fixed_word_of_a_draft_goes_through_the_tables(tmp_path: Path) -> None:
    job = job_in(PSEUDO)
    left = left_over(told(render(draft(job)), tmp_path), kept_words(job))

    assert left - set(STAYS) == set()


def test_nothing_is_on_the_list_that_is_told_already(tmp_path: Path) -> None:
    job = job_in(PSEUDO)
    left = left_over(told(render(frozen(job)), tmp_path), kept_words(job) | DECLARED)

    assert set(STAYS) - left == set()


@pytest.mark.parametrize("screen", ["en", "de", PSEUDO])
def test_the_sheet_of_a_record_is_the_same_bytes_whatever_the_screen_speaks(screen: str) -> None:
    job = job_in("de")
    before = render(frozen(job))
    speak(screen)
    try:
        assert render(frozen(job)) == before
    finally:
        speak("en")


def test_a_sheet_in_german_says_its_words_and_keeps_the_readings(tmp_path: Path) -> None:
    said = told(render(frozen(job_in("de"))), tmp_path)

    assert "Inbetriebsetzungsblatt für Stromwandler" in said
    assert "Wicklungswiderstand" in said
    assert "Dieses Blatt erlaubt keine Arbeit und kein Einschalten." in said
    assert "1S1-1S3" in said


def test_findings_of_a_record_are_told_in_the_language_and_with_the_mark_of_its_sheet(tmp_path: Path) -> None:
    job = job_in("de")
    comma = dataclasses.replace(job, header=dataclasses.replace(job.header, sheet_decimal_mark="comma"))
    with_point, with_comma = (" ".join(told(render(frozen(one)), tmp_path).split()) for one in (job, comma))

    assert "Der Brauch gilt Sekundärkreisen; eine Primärseite braucht eine eigene Grenze." in with_point
    assert "Faktor 0.555 nach Halbierung je 10 K" in with_point
    assert "Faktor 0,555 nach Halbierung je 10 K" in with_comma


def test_field_forms_speak_the_language_of_the_sheet(tmp_path: Path) -> None:
    said = told(render_forms(FormsInput(job_in("de"), (), (), "")).data, tmp_path)

    assert "KEIN NACHWEIS, BIS ES EINGEGEBEN IST" in said
