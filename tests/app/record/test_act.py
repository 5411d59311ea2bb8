from __future__ import annotations

import pytest

from app.record.act import Act, act_from_plain, act_to_plain

ACT = Act(
    "reading", "p1", "A. Tester", "2031-05-04T08:42:07.120Z", 120, "Europe/Oslo", {"row": "7"}, None, "1.2"
)


def test_an_act_comes_back_as_it_was_spelled() -> None:
    assert act_from_plain(act_to_plain(ACT)) == ACT


@pytest.mark.parametrize("name", ["kind", "person_id", "at_utc", "utc_offset_minutes", "zone", "from", "to"])
def test_an_act_without_one_of_its_names_is_not_read(name: str) -> None:
    spelled = act_to_plain(ACT)
    del spelled[name]
    with pytest.raises(KeyError):
        act_from_plain(spelled)
