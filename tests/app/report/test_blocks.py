"""Blocks wrap, split and lose nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.report.blocks import Figure, Run, Stack, Words, words
from app.report.fonts import BODY, BOLD, face

TEXTS = st.text(st.characters(min_codepoint=32, max_codepoint=0x17F, exclude_categories=["Cc"]), max_size=300)


def _printed(block: Words, width: float) -> str:
    return "".join(run.text for runs, _ in block.lines(width) for run in runs)


@given(TEXTS, st.floats(20.0, 500.0))
def test_wrapping_loses_no_letter(text: str, width: float) -> None:
    printed = _printed(words(text), width)
    assert printed.replace(" ", "").replace("\u00a0", "") == (
        text.replace("\u00ad", "[U+00AD]").replace(" ", "").replace("\u00a0", "")
    )


@given(TEXTS, st.floats(20.0, 500.0))
def test_no_line_is_longer_than_its_column(text: str, width: float) -> None:
    assert [length for _, length in words(text).lines(width) if length > width + 0.02] == []


def test_a_line_end_in_the_text_ends_the_line() -> None:
    assert len(words("one\ntwo\r\nthree").lines(500.0)) == 3


def test_a_split_keeps_every_line_in_order() -> None:
    block = words("one two three four five six seven eight nine ten " * 4)
    parts = block.split(80.0, 60.0)
    assert parts is not None
    first, rest = parts
    assert isinstance(first, Words)
    assert isinstance(rest, Words)
    assert _printed(first, 80.0) + _printed(rest, 80.0) == _printed(block, 80.0)


def test_faces_change_within_a_line() -> None:
    (line,) = Words((Run("label ", BOLD), Run("text"))).lines(300.0)
    assert [run.font for run in line[0]] == [BOLD, BODY]


def test_a_long_number_of_a_document_parts_at_a_stroke() -> None:
    lines = words("WO-2026-1042-LINE-SIDE").lines(60.0)
    assert lines[0][0][0].text.endswith("-")


@pytest.mark.parametrize("text", ["0.00084", "1 234.5", "> 20 000"])
def test_a_figure_grows_smaller_rather_than_being_cut(text: str) -> None:
    fitted = Figure(text)._fitted(20.0)
    assert [run.text for runs, _ in fitted.lines(20.0) for run in runs] == text.split(" ")[:1] or all(
        face(BODY).width(word, fitted.size) <= 20.0 for word in text.split(" ")
    )


def test_a_stack_splits_between_its_blocks() -> None:
    stack = Stack(words("one"), words("two"), words("three"))
    parts = stack.split(100.0, 25.0)
    assert parts is not None
    assert parts[0].height(100.0) + parts[1].height(100.0) == pytest.approx(stack.height(100.0))
