"""Each test is one way of tampering with a trail; prefixes 0 and 1 are those of RFC 6962, section 2.1."""

from __future__ import annotations

import dataclasses
import hashlib

import pytest

from app.record.act import Act, ChainHead, Event
from app.record.chain import FIRST_PREV, event_bytes, event_from_bytes, next_event, verify_chain
from ctcore.errors import BadInput


def act(to: str) -> Act:
    return Act(
        "reading", "p1", "A. Tester", "2031-05-04T08:42:07.120Z", 120, "Etc/UTC", {"row": to}, None, to
    )


def chain_of(*values: str, device_id: str = "d1") -> list[Event]:
    events: list[Event] = []
    head = FIRST_PREV
    for n, value in enumerate(values, start=1):
        events.append(next_event(head, n, device_id, act(value), {"readings_count": n}))
        head = events[-1].head
    return events


WHOLE = chain_of("1.0", "2.0", "3.0")


def test_an_untouched_chain_is_whole() -> None:
    assert verify_chain(WHOLE) is None


def test_an_empty_chain_is_whole() -> None:
    assert verify_chain([]) is None


def test_leaf_and_head_follow_the_written_formula() -> None:
    leaf = hashlib.sha256(b"\x00" + event_bytes(WHOLE[0])).digest()
    head = hashlib.sha256(b"\x01" + bytes(32) + leaf).hexdigest()
    assert (WHOLE[0].digest, WHOLE[0].head) == (leaf.hex(), head)


def test_a_changed_value_breaks_its_own_event() -> None:
    forged = dataclasses.replace(WHOLE[1], act=act("9.9"))
    assert verify_chain([WHOLE[0], forged, WHOLE[2]]) == 2


@pytest.mark.parametrize(
    "changed",
    [
        {"kind": "remark"},
        {"person_id": "p2"},
        {"person_name_text": "B. Other"},
        {"at_utc": "2031-05-03T08:42:07.120Z"},
        {"utc_offset_minutes": 60},
        {"zone": "Europe/Oslo"},
        {"where": {}},
        {"from_": "0.5"},
        {"to": None},
    ],
)
def test_a_change_to_any_field_of_an_act_is_seen(changed: dict[str, object]) -> None:
    forged = dataclasses.replace(WHOLE[1], act=dataclasses.replace(WHOLE[1].act, **changed))
    assert verify_chain([WHOLE[0], forged, WHOLE[2]]) == 2


def test_changed_digests_of_what_was_stored_are_seen() -> None:
    forged = dataclasses.replace(WHOLE[1], content={"readings_count": 7})
    assert verify_chain([WHOLE[0], forged, WHOLE[2]]) == 2


def test_an_event_hashed_anew_breaks_the_one_behind_it() -> None:
    forged = next_event(WHOLE[0].head, 2, "d1", act("9.9"))
    assert verify_chain([WHOLE[0], forged, WHOLE[2]]) == 3


def test_a_removed_event_is_seen() -> None:
    assert verify_chain([WHOLE[0], WHOLE[2]]) == 2


def test_a_removed_first_event_is_seen() -> None:
    assert verify_chain(WHOLE[1:]) == 1


def test_a_doubled_event_is_seen() -> None:
    assert verify_chain([WHOLE[0], WHOLE[0], WHOLE[1]]) == 2


def test_swapped_events_are_seen() -> None:
    assert verify_chain([WHOLE[0], WHOLE[2], WHOLE[1]]) == 2


def test_an_event_put_in_between_is_seen() -> None:
    inserted = next_event(WHOLE[0].head, 2, "d1", act("1.5"))
    assert verify_chain([WHOLE[0], inserted, *WHOLE[1:]]) == 3


def test_an_event_of_another_device_is_seen() -> None:
    foreign = next_event(WHOLE[0].head, 2, "d2", act("2.0"))
    assert verify_chain([WHOLE[0], foreign]) == 2


def test_a_renamed_device_is_seen() -> None:
    assert verify_chain([dataclasses.replace(event, device_id="d2") for event in WHOLE]) == 1


def test_a_changed_head_is_seen() -> None:
    assert verify_chain([WHOLE[0], dataclasses.replace(WHOLE[1], head="0" * 64)]) == 2


def test_a_changed_leaf_is_seen() -> None:
    assert verify_chain([WHOLE[0], dataclasses.replace(WHOLE[1], digest="0" * 64)]) == 2


def test_a_cut_tail_fits_in_itself_and_is_seen_only_by_a_head_kept_elsewhere() -> None:
    kept = ChainHead("d1", 3, WHOLE[2].head)
    assert (verify_chain(WHOLE[:2]), verify_chain(WHOLE[:2], kept)) == (None, 3)


def test_a_chain_made_anew_fits_in_itself_and_is_seen_only_by_a_head_kept_elsewhere() -> None:
    remade = chain_of("1.0", "9.9", "3.0")
    assert (verify_chain(remade), verify_chain(remade, ChainHead("d1", 3, WHOLE[2].head))) == (None, 3)


def test_a_chain_that_grew_since_the_kept_head_is_whole() -> None:
    assert verify_chain(WHOLE, ChainHead("d1", 2, WHOLE[1].head)) is None


def test_a_chain_made_anew_for_another_device_is_seen_by_the_kept_head() -> None:
    remade = chain_of("1.0", "2.0", "3.0", device_id="d2")
    assert verify_chain(remade, ChainHead("d1", 3, WHOLE[2].head)) == 3


def test_a_wiped_chain_is_seen_by_the_kept_head() -> None:
    assert verify_chain([], ChainHead("d1", 3, WHOLE[2].head)) == 1


def test_an_event_comes_back_from_its_bytes() -> None:
    event = WHOLE[1]
    assert event_from_bytes(event_bytes(event), digest=event.digest, head=event.head) == event


@pytest.mark.parametrize("data", [b"[]", b"{}", b'{"act":{},"content":{},"device_id":"d","n":1,"prev":""}'])
def test_bytes_that_are_no_event_are_refused(data: bytes) -> None:
    with pytest.raises(BadInput, match="event"):
        event_from_bytes(data, digest="", head="")
