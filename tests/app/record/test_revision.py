from __future__ import annotations

import dataclasses
import json
from typing import Any

import pytest

from app.record.act import ChainHead
from app.record.canonical import canonical
from app.record.revision import Declaration, DerivedOf, Record, from_bytes, to_bytes
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import CT, Core, Header, Job, Position, Reading, Tap
from ctcore.procedure import Derived

READING = Reading(
    reading_id="r1", core_id="c1", procedure_id="resistance", take=1, row="t1", quantity_id="r_measured_ohm",
    as_typed_text="2,630", value_text="2.630", person_id="p1", at_utc="2031-05-04T08:42:07Z",
    utc_offset_minutes=120, device_id="d1", device_seq=1,
)  # fmt: skip
TAP = Tap(tap_id="t1", terminals_text="S1-S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
JOB = Job(
    job_id="j1",
    header=Header(number_text="1042", ambient_degc=-3.5),
    positions=(
        Position(
            position_id="b1",
            name_text="Bay 1",
            cts=(
                CT(
                    ct_id="ct1",
                    phase_text="L1",
                    cores=(Core(core_id="c1", number=1, class_text="5P20", taps=(TAP,)),),
                ),
            ),
        ),
    ),
    readings=(READING,),
)
RECORD = Record(
    program_version="0.1.0",
    rules_version="1",
    revision=2,
    replaces_digest="ab" * 32,
    job=JOB,
    findings=(
        Finding(
            "c1",
            "r_winding_75degc_ohm",
            3.0000000000000004,
            1e-7,
            -0.1,
            "outside",
            "plate",
            "resistance.limit",
        ),
        Finding("c1", "polarity", "agrees", "agrees", None, "within", "IEC 61869-2", "ratio.polarity"),
    ),
    derived=(
        DerivedOf(core_id="c1", procedure_id="resistance", take=1, values=(Derived("t1", "r", 1e18, 0.5),)),
    ),
    declaration=Declaration(
        person_id="p1",
        name_text="A. Tester",
        text="Tested by me.",
        at_utc="2031-05-04T09:00:00Z",
        utc_offset_minutes=120,
    ),
    heads=(ChainHead("d1", 3, "cd" * 32),),
    frozen_at_utc="2031-05-04T09:00:00Z",
    reason_text="Serial number corrected.",
)


def altered(path: tuple[str | int, ...], value: object) -> bytes:
    structure: Any = json.loads(to_bytes(RECORD))
    place = structure
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    return canonical(structure)


def test_a_record_comes_back_equal_to_the_last_bit_of_every_number() -> None:
    assert from_bytes(to_bytes(RECORD)) == RECORD


def test_the_bytes_of_a_record_are_the_same_every_time() -> None:
    assert to_bytes(from_bytes(to_bytes(RECORD))) == to_bytes(RECORD)


def test_measured_and_derived_numbers_stand_as_decimal_text() -> None:
    structure = json.loads(to_bytes(RECORD))
    assert structure["findings"][0]["value"] == {"decimal": "3.0000000000000004"}
    assert structure["findings"][0]["limit"] == {"decimal": "0.0000001"}
    assert structure["derived"][0]["values"][0]["value"] == {"decimal": "1000000000000000000"}
    assert structure["job"]["header"]["ambient_degc"] == "-3.5"
    assert structure["job"]["readings"][0]["as_typed_text"] == "2,630"


def test_a_word_is_told_from_a_number() -> None:
    assert json.loads(to_bytes(RECORD))["findings"][1]["value"] == {"text": "agrees"}


def test_a_number_that_is_not_finite_is_never_frozen() -> None:
    spoiled = dataclasses.replace(RECORD.findings[0], margin=float("nan"))
    with pytest.raises(BadInput, match="not a number"):
        to_bytes(dataclasses.replace(RECORD, findings=(spoiled,)))


def test_a_record_of_a_newer_program_is_refused_by_name() -> None:
    with pytest.raises(BadInput, match="made by a newer Coreleaf"):
        from_bytes(altered(("version",), 2))


@pytest.mark.parametrize(
    ("path", "value", "reason"),
    [
        (("format",), "other", "coreleaf-record is wanted"),
        (("version",), 0, "1 is wanted"),
        (("version",), True, "1 is wanted"),
        (("surprise",), 1, "record.surprise: 1: unknown name"),
        (("job",), None, "named values"),
        (("job", "positions", 0, "cts", 0, "um_kv"), 12, "decimal number as text"),
        (("job", "header", "ambient_degc"), "1e3", "decimal number as text"),
        (("job", "header", "ambient_degc"), "9" * 400, "decimal number as text"),
        (("job", "header", "ambient_degc"), "-03.5", "decimal number as text"),
        (("job", "header", "ambient_degc"), "-3.50", "not spelled as this program"),
        (("job", "readings", 0, "take"), "1", "a whole number is wanted"),
        (("job", "readings", 0, "take"), True, "a whole number is wanted"),
        (("job", "readings", 0, "struck"), 0, "true or false is wanted"),
        (("job", "readings", 0, "row"), 1, "text is wanted"),
        (("findings",), {}, "a list is wanted"),
        (("findings", 0, "verdict"), "fine", "within, outside, refer"),
        (("findings", 0, "value"), "2.63", "a decimal number or a text"),
        (("findings", 0, "value"), {"decimal": 2.63}, "decimal number as text"),
        (("findings", 0, "value"), {"text": 2}, "a decimal number or a text"),
        (("declaration", "meaning"), "approved", "tested is wanted"),
    ],
)
def test_a_record_with_something_else_in_a_field_is_refused_at_that_field(
    path: tuple[str | int, ...], value: object, reason: str
) -> None:
    with pytest.raises(BadInput, match=reason):
        from_bytes(altered(path, value))


def test_a_record_without_one_of_its_names_is_refused() -> None:
    structure = json.loads(to_bytes(RECORD))
    del structure["declaration"]["name_text"]
    with pytest.raises(BadInput, match=r"record\.declaration\.name_text: None: is missing"):
        from_bytes(canonical(structure))


@pytest.mark.parametrize("data", [b"", b"[]", b"7", b'{"format":"coreleaf-record"', b'{"a":1,"a":1}'])
def test_bytes_that_are_no_record_are_refused(data: bytes) -> None:
    with pytest.raises(BadInput, match="record"):
        from_bytes(data)


def test_a_record_with_other_spacing_is_refused() -> None:
    with pytest.raises(BadInput, match="one canonical form"):
        from_bytes(to_bytes(RECORD) + b"\n")
