"""What was printed, read back with poppler: text, places of words, fonts."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import dataclass
from functools import partial
from itertools import takewhile
from pathlib import Path

import pytest

from ctcore.figures import GROUP_GAP, UNIT_GAP


def text_of(pdf: bytes, tmp_path: Path) -> str:
    """The text of all pages, gaps of figures as plain spaces."""
    raw = _poppler("pdftotext", pdf, tmp_path, "-raw")
    return raw.replace(UNIT_GAP, " ").replace(GROUP_GAP, " ")


def flat(text: str) -> str:
    """The text on one line with single spaces."""
    return re.sub(r"\s+", " ", text)


@dataclass(frozen=True, slots=True)
class Word:
    """One printed word with its box in points from the upper left corner of its page."""

    page: int
    text: str
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Word) -> bool:
        """Whether the boxes share more than a hair of both directions."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        # The boxes of lines reach into each other by the air above their letters.
        lowest = min(self.bottom - self.top, other.bottom - other.top)
        return self.page == other.page and across > 0.8 and down > 0.45 * lowest


def words_of(pdf: bytes, tmp_path: Path) -> list[Word]:
    """Every word with its place."""
    raw = _poppler("pdftotext", pdf, tmp_path, "-bbox")
    found = []
    for page, body in enumerate(raw.split("<page ")[1:], start=1):
        for box in re.finditer(
            r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>', body
        ):
            left, top, right, bottom = (float(box[group]) for group in range(1, 5))
            found.append(Word(page, box[5], left, top, right, bottom))
    return found


def overlapping(words: list[Word]) -> list[tuple[str, str]]:
    """Pairs of words that lie on each other."""
    by_page: dict[int, list[Word]] = {}
    for word in sorted(words, key=lambda word: word.top):
        by_page.setdefault(word.page, []).append(word)
    return [
        (one.text, other.text)
        for page in by_page.values()
        for number, one in enumerate(page)
        for other in takewhile(partial(_begins_above_end, one), page[number + 1 :])
        if one.overlaps(other)
    ]


def _begins_above_end(one: Word, other: Word) -> bool:
    return other.top < one.bottom


def fonts_of(pdf: bytes, tmp_path: Path) -> list[str]:
    """The lines of the list of fonts."""
    return _poppler("pdffonts", pdf, tmp_path).splitlines()[2:]


def _poppler(program: str, pdf: bytes, tmp_path: Path, *options: str) -> str:
    if shutil.which(program) is None:
        pytest.fail(f"{program} is wanted to read the sheet back: apt-get install poppler-utils")
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf)
    target = [] if program == "pdffonts" else ["-"]
    done = subprocess.run(
        [program, *options, str(path), *target], capture_output=True, check=True, timeout=60
    )
    return done.stdout.decode("utf-8")
