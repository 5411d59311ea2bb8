"""The embedded faces, widths, and characters that must not hide."""

from __future__ import annotations

from importlib import resources

import pytest

from app.report.fonts import BODY, BOLD, TITLE, face, printable

TRADE_SIGNS = "Ω µ ° ′ ± − – · × √ ≤ ≥ Φ “ ” ³ ² \u202f\u00a0"


@pytest.mark.parametrize("name", [BODY, BOLD, TITLE])
def test_every_face_has_the_signs_of_the_trade(name: str) -> None:
    assert [sign for sign in TRADE_SIGNS if ord(sign) not in face(name).widths] == []


def test_a_line_is_as_long_as_its_letters() -> None:
    assert face(BODY).width("0000", 10.0) == pytest.approx(4 * face(BODY).width("0", 10.0))


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("bay\u202e4", "bay[U+202E]4"),
        ("\u2066x\u2069", "[U+2066]x[U+2069]"),
        ("a\x00b", "a[U+0000]b"),
        ("a\u200bb", "a[U+200B]b"),
        ("\u4e2d", "[U+4E2D]"),
        ("\U0001f600", "[U+1F600]") if ord("\U0001f600") not in face(BODY).widths else ("a", "a"),
        ("12 kΩ", "12 kΩ"),
        ("a\tb", "a b"),
    ],
)
def test_what_would_hide_or_has_no_glyph_is_shown_as_its_code_point(text: str, shown: str) -> None:
    assert printable(text) == shown


def test_the_licence_lies_beside_the_fonts() -> None:
    text = resources.files("resources").joinpath("fonts", "LICENCE-DejaVu.txt").read_text("utf-8")
    assert "Bitstream Vera" in text
