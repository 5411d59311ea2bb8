from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.exchange import jobfile, signedfile
from app.record import draft, trail
from app.record.canonical import canonical
from app.record.draft import Draft
from app.record.problem import CannotTell

SPECIMEN = Path(__file__).resolve().parents[2] / "specimens" / "draft_form_1.json"
ATTACHED = {f"attached/{64 * '0'}.png": b"picture"}
HERE = Draft(from_text="T. Adder", job=b"{}", events=b"[]", attached=ATTACHED)


def changed(**changes: object) -> bytes:
    return canonical({**json.loads(draft.to_bytes(HERE)), **changes})


def test_a_draft_comes_back_from_its_file() -> None:
    assert draft.from_bytes(draft.to_bytes(HERE)) == HERE
    assert signedfile.kind_of(draft.to_bytes(HERE)) == "draft"


def test_the_first_form_opens_with_its_values() -> None:
    found = draft.from_bytes(SPECIMEN.read_bytes())
    events = trail.from_bytes(found.events)
    trail.demand_fitting(events, ())
    job = jobfile.read(found.job)

    assert found.from_text == "T. Adder"
    assert (job.header.number_text, len(job.readings), len({one.device_id for one in events})) == ("77", 7, 2)
    (question,) = job.questions
    assert question.open_fields == ("serial_text",)
    assert {side.person_text for side in question.sides} == {"T. Adder", "R. Second"}


def test_a_draft_of_a_newer_program_is_not_guessed_at() -> None:
    with pytest.raises(CannotTell, match="newer"):
        draft.from_bytes(changed(version=2))


def test_a_file_of_another_format_is_none() -> None:
    with pytest.raises(CannotTell, match="no draft"):
        draft.from_bytes(changed(format="other"))


@pytest.mark.parametrize(
    "data",
    [b"", b"{}", changed(files={}), changed(files={"strange": ""}), draft.to_bytes(HERE)[:-9], b"\xff"],
)
def test_what_is_damaged_says_so(data: bytes) -> None:
    with pytest.raises(CannotTell, match="damaged or not whole"):
        draft.from_bytes(data)
