"""What begins a page, what goes on under a short end, and what stays together."""

from __future__ import annotations

import pytest

from app.report.blocks import Block, NewPage, Space, Stack, words
from app.report.frame import Foot, Page, lay_out

FOOT = Foot(
    number_text="1", revision_text="1", state_text="draft", issued_text="", digest_text=None, program_text="",
    title_text="", author_text="", paper="A4", issued_epoch_s=0.0, signed_text="", band_text="",
)  # fmt: skip


class Bar(Block):
    """Something of a height."""

    def __init__(self, high: float) -> None:
        self.high = high

    def height(self, width: float) -> float:
        del width
        return self.high

    def draw(self, pen: object, x: float, top: float, width: float) -> None:
        del pen, x, top, width


def placed(pages: list[Page]) -> list[tuple[str, int]]:
    return [(page.running_text, sum(isinstance(one, Bar) for _, one in page.placed)) for page in pages]


@pytest.mark.parametrize(
    ("filled", "pages"),
    [(200.0, [("", 0), ("before", 2), ("after", 1)]), (500.0, [("", 0), ("before", 1), ("after", 2)])],
    ids=["a short end", "a full page"],
)
def test_what_begins_a_page_goes_on_under_a_short_end_and_names_the_pages_behind(
    filled: float, pages: list[tuple[str, int]]
) -> None:
    blocks = [NewPage("before"), Bar(filled), NewPage("after", stays_below=0.45), Bar(300.0), Bar(350.0)]
    assert placed(lay_out(blocks, FOOT)) == pages


def test_what_always_begins_a_page_does_so_on_any() -> None:
    blocks = [NewPage("before"), Bar(20.0), NewPage("after"), Bar(300.0)]
    assert placed(lay_out(blocks, FOOT)) == [("", 0), ("before", 1), ("after", 1)]


def test_a_low_stack_that_is_whole_is_moved_and_a_high_one_parted() -> None:
    low = Stack(*(words("a line") for _ in range(5)), whole=True)
    high = Stack(*(words("a line") for _ in range(40)), whole=True)
    assert low.split(100.0, 30.0) is None
    assert low.least(100.0) == low.height(100.0)
    assert high.split(100.0, 100.0) is not None


def test_room_left_between_vanishes_at_the_top_of_a_page() -> None:
    assert placed(lay_out([NewPage("a"), Space(9.0), Bar(10.0)], FOOT))[-1] == ("a", 1)
