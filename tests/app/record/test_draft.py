from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import pytest

from app.exchange import jobfile, signedfile
from app.record import draft, signed_job, trail
from app.record.canonical import canonical, digest
from app.record.draft import Draft
from app.record.problem import CannotTell

SPECIMENS = Path(__file__).resolve().parents[2] / "specimens"
ATTACHED = {f"attached/{digest(b'picture')}.png": b"picture"}
HERE = Draft(from_text="T. Adder", job=b"{}", events=b"[]", attached=ATTACHED)


def changed(**changes: object) -> bytes:
    return canonical({**json.loads(draft.to_bytes(HERE)), **changes})


def test_a_draft_comes_back_from_its_file() -> None:
    assert draft.from_bytes(draft.to_bytes(HERE)) == HERE
    assert signedfile.kind_of(draft.to_bytes(HERE)) == "draft"


def test_frozen_revisions_go_along_in_the_second_form() -> None:
    here = dataclasses.replace(HERE, revisions={1: b"one", 12: b"twelve"})

    assert draft.from_bytes(draft.to_bytes(here)) == here
    assert [json.loads(draft.to_bytes(one))["version"] for one in (HERE, here)] == [1, 2]
    assert signedfile.kind_of(draft.to_bytes(here)) == "draft"


def test_the_first_form_opens_with_its_values() -> None:
    found = draft.from_bytes((SPECIMENS / "draft_form_1.json").read_bytes())
    events = trail.from_bytes(found.events)
    trail.demand_fitting(events, ())
    job = jobfile.read(found.job)

    assert found.from_text == "T. Adder"
    assert (job.header.number_text, len(job.readings), len({one.device_id for one in events})) == ("77", 7, 2)
    (question,) = job.questions
    assert question.open_fields == ("serial_text",)
    assert {side.person_text for side in question.sides} == {"T. Adder", "R. Second"}


def test_the_second_form_opens_with_the_signed_revision_that_its_trail_names() -> None:
    found = draft.from_bytes((SPECIMENS / "draft_form_2.json").read_bytes())
    events = trail.from_bytes(found.events)
    trail.demand_fitting(events, ())
    signed = signed_job.from_bytes(found.revisions[1])
    named = {one.content["record"]["digest"] for one in events if "record" in one.content}

    assert named == {digest(signed.record)}
    assert jobfile.read(found.job).state == "sent_back"
    assert signed.sheet is not None


def test_a_draft_of_a_newer_program_is_not_guessed_at() -> None:
    with pytest.raises(CannotTell, match="newer"):
        draft.from_bytes(changed(version=3))


def test_an_attached_file_that_is_another_than_its_name_says_is_refused() -> None:
    other = dataclasses.replace(HERE, attached=dict.fromkeys(ATTACHED, b"another picture"))

    with pytest.raises(CannotTell, match="copy it again"):
        draft.from_bytes(draft.to_bytes(other))


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
