"""The faces of the sheet, embedded from the project's own files; widths and unprintable characters."""

from __future__ import annotations

import functools
import unicodedata
from dataclasses import dataclass
from importlib import resources
from typing import Any, Final

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

BODY: Final = "Sheet-Condensed"
BOLD: Final = "Sheet-CondensedBold"
TITLE: Final = "Sheet-Bold"

_FILES: Final = {
    BODY: "DejaVuSansCondensed.ttf",
    BOLD: "DejaVuSansCondensed-Bold.ttf",
    TITLE: "DejaVuSans-Bold.ttf",
}
# Control, formatting with the bidi overrides, surrogate, private, unassigned, line and paragraph separators.
_HIDDEN: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


@dataclass(frozen=True, slots=True)
class Face:
    """One registered face: its name in the PDF, the width of each character in 1/1000 of the size."""

    name: str
    widths: dict[int, float]
    default_width: float

    def width(self, text: str, size: float) -> float:
        """Length of a line of text in points."""
        return _units(self.name, text) * size / 1000.0

    def fitting(self, text: str, size: float, width: float) -> int:
        """How many signs from the start of a text have room in that width; at least one."""
        room = width * 1000.0 / size
        for number, sign in enumerate(text):
            room -= self.widths.get(ord(sign), self.default_width)
            if room < 0.0:
                return max(1, number)
        return len(text)


@functools.cache
def face(name: str) -> Face:
    """The face of that name, read and registered at its first use."""
    source = resources.files("resources").joinpath("fonts", _FILES[name])
    with resources.as_file(source) as path:
        font: Any = TTFont(name, str(path))
    pdfmetrics.registerFont(font)
    return Face(name, dict(font.face.charWidths), float(font.face.defaultWidth))


@functools.lru_cache(maxsize=32768)
def _units(name: str, text: str) -> float:
    """Length of a text in 1/1000 of its size; the words of a sheet come again and again."""
    this = face(name)
    widths, default = this.widths, this.default_width
    return sum([widths.get(ord(sign), default) for sign in text])


def fitted(text: str, name: str, size: float, room: float) -> str:
    """The text as far as one line has room, with a sign where it goes on; it stands whole elsewhere."""
    text = printable(text.replace("\n", " "))
    this = face(name)
    if this.width(text, size) <= room:
        return text
    return text[: this.fitting(text, size, room - this.width("…", size))] + "…"


@functools.lru_cache(maxsize=8192)
def printable(text: str) -> str:
    """The text with every character that would hide, reorder or have no glyph shown as its code point.

    >>> printable("bay\\u202e4"), printable("a\\tb")
    ('bay[U+202E]4', 'a b')
    """
    if text.isascii() and text.isprintable():
        return text
    glyphs = face(BODY).widths
    return "".join(_shown(sign, glyphs) for sign in text)


def _shown(sign: str, glyphs: dict[int, float]) -> str:
    if sign == "\t":
        return " "
    if unicodedata.category(sign) in _HIDDEN or ord(sign) not in glyphs:
        return f"[U+{ord(sign):04X}]"
    return sign
