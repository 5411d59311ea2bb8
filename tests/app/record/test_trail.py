from __future__ import annotations

import dataclasses
import json

import pytest

from app.record import trail
from app.record.act import ChainHead
from app.record.canonical import canonical
from app.record.problem import Altered
from tests.app.record.signed_scene import events

HEAD = ChainHead("d1", 3, events()[1].head)


def test_events_come_back_from_their_file() -> None:
    assert trail.from_bytes(trail.to_bytes(reversed(events()))) == list(events())


def test_events_with_others_left_out_fit() -> None:
    assert trail.demand_fitting(events(), [HEAD]) is None


def test_a_head_of_another_device_says_nothing() -> None:
    assert trail.demand_fitting(events(), [ChainHead("d2", 1, "00" * 32)]) is None


def test_a_head_that_differs_from_the_signed_one_is_altered() -> None:
    with pytest.raises(Altered, match="another than when the record was signed"):
        trail.demand_fitting(events(), [ChainHead("d1", 3, "00" * 32)])


def test_an_event_with_another_content_is_altered() -> None:
    first, freeze, last = events()
    other = dataclasses.replace(freeze, act=dataclasses.replace(freeze.act, kind="thaw"))

    with pytest.raises(Altered, match="broken at event 3"):
        trail.demand_fitting([first, other, last], [HEAD])


def test_an_event_that_does_not_follow_the_one_before_is_altered() -> None:
    from app.record.chain import next_event

    _, freeze, last = events()
    other = next_event("11" * 32, last.n, last.device_id, last.act)

    with pytest.raises(Altered, match="broken at event 4"):
        trail.demand_fitting([freeze, other], [HEAD])


def test_an_event_whose_head_before_is_no_digest_cannot_be_read() -> None:
    with pytest.raises(Altered, match="cannot be read"):
        trail.demand_fitting([dataclasses.replace(events()[0], prev="no digest")], [])


@pytest.mark.parametrize(
    "data", [b"", b"{}x", b"[{}]", b"[1]", b"7", b'[{"digest":"","event":{},"head":""}]']
)
def test_what_is_no_list_of_events_is_altered(data: bytes) -> None:
    with pytest.raises(Altered, match="form"):
        trail.from_bytes(data)


def test_another_spelling_of_the_events_is_altered() -> None:
    data = json.dumps(json.loads(trail.to_bytes(events()))).encode()

    assert canonical(json.loads(data)) == trail.to_bytes(events())
    with pytest.raises(Altered):
        trail.from_bytes(data)
