"""Whatever stands in a text of the job is printed whole, where it belongs, and hides nothing."""

from __future__ import annotations

import dataclasses
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest

from app.record.revision import Declaration
from app.report.sheet import render
from ctcore.job import Attached, Deviation, Instrument, Job, Person, Remark
from tests.app.report.making import frozen, reading, set_of
from tests.app.report.reading_back import Word, overlapping, text_of, words_of

LONG = "Brackmere" * 1111 + "x"
SENTENCE = "far valley and nine villages " * 345
FORMULA = '=HYPERLINK("http://example.invalid","pay")+cmd|calc'
BIDI = "bay \u202e4 yab\u202c \u2066x\u2069 \u200bzero\u200d\ufeff"
LOOK_ALIKE = "Вау 4 \u0430pproved"

TextPut = Callable[[Job, str], Job]


def _header(name: str) -> TextPut:
    return lambda job, text: dataclasses.replace(job, header=dataclasses.replace(job.header, **{name: text}))


def _position(job: Job, text: str) -> Job:
    return dataclasses.replace(job, positions=(dataclasses.replace(job.positions[0], name_text=text),))


def _ct(name: str) -> TextPut:
    def put(job: Job, text: str) -> Job:
        position = job.positions[0]
        cts = tuple(dataclasses.replace(ct, **{name: text}) for ct in position.cts)
        return dataclasses.replace(job, positions=(dataclasses.replace(position, cts=cts),))

    return put


def _core(name: str) -> TextPut:
    def put(job: Job, text: str) -> Job:
        position = job.positions[0]
        cts = tuple(
            dataclasses.replace(
                ct, cores=tuple(dataclasses.replace(core, **{name: text}) for core in ct.cores)
            )
            for ct in position.cts
        )
        return dataclasses.replace(job, positions=(dataclasses.replace(position, cts=cts),))

    return put


def _remark(core_id: str) -> TextPut:
    def put(job: Job, text: str) -> Job:
        told = Remark(
            remark_id="r", core_id=core_id, procedure_id="", text=text, person_id="p1",
            at_utc="2026-10-13T07:00:00Z", utc_offset_minutes=0,
        )  # fmt: skip
        return dataclasses.replace(job, remarks=(told,))

    return put


def _deviation(job: Job, text: str) -> Job:
    told = Deviation(deviation_id="d", core_id="L1", procedure_id="", found_text=text, decision_text=text)
    return dataclasses.replace(job, deviations=(told,))


def _instrument(job: Job, text: str) -> Job:
    tool = Instrument(instrument_id="i", name_text=text, serial_text=text, certificate_text=text)
    used = tuple(dataclasses.replace(entry, instrument_id="i") for entry in job.readings)
    return dataclasses.replace(job, instruments=(tool,), readings=used)


def _attached(job: Job, text: str) -> Job:
    one = Attached(name_text=text, media_type="application/pdf", digest_hex="0" * 64)
    return dataclasses.replace(job, attached=(one,))


def _reading(job: Job, text: str) -> Job:
    typed = reading("L1", "resistance", "S1-S2", "r_measured_ohm", text, value_text=None)
    return dataclasses.replace(job, readings=(*job.readings, typed))


def _tester(job: Job, text: str) -> Job:
    person = Person(person_id="p1", name_text=text, employer_text=text, authorisation_text=text)
    return dataclasses.replace(job, people=(person,))


PLACES: dict[str, TextPut] = {
    **{
        name: _header(name)
        for name in (
            "number_text", "title_text", "site_text", "customer_text", "organisation_text",
            "organisation_address_text", "work_order_text", "drawings_text", "supply_text", "weather_text",
            "permits_text",
        )
    },
    "position": _position,
    "phase_text": _ct("phase_text"),
    "serial_text": _ct("serial_text"),
    "maker_text": _ct("maker_text"),
    "class_text": _core("class_text"),
    "duty_text": _core("duty_text"),
    "remark_text": _core("remark_text"),
    "remark of a core": _remark("L1"),
    "remark of the job": _remark(""),
    "deviation": _deviation,
    "instrument": _instrument,
    "attached": _attached,
    "reading": _reading,
    "people": _tester,
}  # fmt: skip


def _declared(text: str) -> Declaration:
    return Declaration(
        person_id="p1", name_text=text, text=text, at_utc="2026-10-13T09:31:00Z", utc_offset_minutes=0
    )


def _out_of_place(words: list[Word], height: float, width: float) -> list[str]:
    """Words beyond the margins, or between the foot block and the lower edge that are not of the foot."""
    return [
        word.text[:30]
        for word in words
        if word.left < 56.0 or word.right > width - 36.0 or word.top < 20.0 or word.bottom > height - 16.0
    ]


def _in_the_foot(words: list[Word], height: float) -> list[str]:
    """Words that run into the foot block from above."""
    upper = height - 28.35 - 53.9
    return [word.text[:30] for word in words if word.top < upper - 0.5 and word.bottom > upper + 3.0]


@pytest.mark.parametrize("text", [LONG, SENTENCE], ids=["one long word", "a long sentence"])
@pytest.mark.parametrize("place", PLACES)
def test_a_text_of_ten_thousand_signs_stays_in_its_place_and_is_printed_whole(
    place: str, text: str, tmp_path: Path
) -> None:
    pdf = render(frozen(PLACES[place](set_of(("L1", "L2", "L3"), points=3), text)))
    words = words_of(pdf, tmp_path)
    printed = "".join(word.text for word in words)
    assert _out_of_place(words, 841.9, 595.3) == []
    assert _in_the_foot(words, 841.9) == []
    assert overlapping(words) == []
    # A word that a page break parts is not counted.
    word = text[:9].replace(" ", "")
    assert printed.count(word) > 0.98 * "".join(text.split()).count(word)


@pytest.mark.parametrize("text", [LONG, SENTENCE], ids=["one long word", "a long sentence"])
@pytest.mark.parametrize("signed", [True, False])
def test_the_box_of_the_tester_holds_a_name_of_any_length(text: str, signed: bool, tmp_path: Path) -> None:
    pdf = render(frozen(set_of(("L1",), points=3), signed=signed, declaration=_declared(text)))
    words = words_of(pdf, tmp_path)
    assert _in_the_foot(words, 841.9) == []
    assert _out_of_place(words, 841.9, 595.3) == []
    assert overlapping(words) == []


@pytest.mark.parametrize("place", PLACES)
def test_signs_that_hide_or_turn_the_line_are_shown_as_their_numbers(place: str, tmp_path: Path) -> None:
    text = text_of(render(frozen(PLACES[place](set_of(("L1",), points=3), BIDI))), tmp_path)
    shown = "".join(text.split())
    assert "[U+202E]" in shown
    assert "[U+200B]" in shown
    assert "[U+FEFF]" in shown
    assert {sign for sign in text if unicodedata.category(sign) == "Cf"} == set()


@pytest.mark.parametrize("place", PLACES)
def test_a_formula_is_a_text_like_any_other(place: str, tmp_path: Path) -> None:
    pdf = render(frozen(PLACES[place](set_of(("L1",), points=3), FORMULA)))
    assert "".join(FORMULA.split()) in "".join(text_of(pdf, tmp_path).split())
    assert b"/URI" not in pdf


def test_letters_of_another_script_stay_what_they_are(tmp_path: Path) -> None:
    pdf = render(frozen(_header("customer_text")(set_of(("L1",), points=3), LOOK_ALIKE)))
    assert LOOK_ALIKE in text_of(pdf, tmp_path)
