"""The check for words on each other finds them where they are."""

from __future__ import annotations

from pathlib import Path

from app.report.fonts import BODY
from app.report.pen import Pen
from tests.app.report.reading_back import overlapping, words_of


def test_words_written_over_each_other_are_found(tmp_path: Path) -> None:
    pen = Pen(300.0, 200.0)
    pen.text(20.0, 50.0, "first", font=BODY)
    pen.text(24.0, 52.0, "second", font=BODY)
    pen.next_page()
    pdf = pen.finish(title="t", author="a", producer="p", issued_epoch_s=0.0)
    assert overlapping(words_of(pdf, tmp_path)) == [("first", "second")]
