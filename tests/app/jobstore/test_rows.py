from __future__ import annotations

import pytest

from app.jobstore.rows import demand_text
from ctcore.errors import BadInput


@pytest.mark.parametrize("text", [None, "", "5.1 \U0001f600", "\ufffd"])
def test_whole_text_is_taken(text: str | None) -> None:
    assert demand_text("reading.as_typed_text", text) is None


@pytest.mark.parametrize(
    ("text", "reason"), [("5\0", "holds a NUL character"), ("5\ud83d", "holds half a character")]
)
def test_text_that_a_store_could_not_give_back_is_refused(text: str, reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        demand_text("reading.as_typed_text", text)
