from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QFontInfo

from app.ui import theme

_PAPERS = ("sheet", "ground", "band", "here_tint")
_INKED = [
    (palette, ink, paper)
    for palette in (theme.DAY, theme.NIGHT)
    for ink, paper in (
        *((ink, paper) for ink in ("ink", "label") for paper in _PAPERS),
        ("danger_ink", "danger"), ("here", "sheet"),
    )
]  # fmt: skip


def _luminance(color: str) -> float:
    """Relative luminance. Source: WCAG 2.2, definition of relative luminance (from memory)."""
    parts = [part / 255 for part in QColor(color).getRgb()[:3]]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize(("palette", "ink", "paper"), _INKED)
def test_text_keeps_seven_to_one(palette, ink, paper):
    assert _contrast(getattr(palette, ink), getattr(palette, paper)) >= 7.0


@pytest.mark.parametrize("palette", [theme.DAY, theme.NIGHT])
@pytest.mark.parametrize("paper", _PAPERS)
def test_lines_focus_and_phases_keep_three_to_one(palette, paper):
    drawn = (palette.border, palette.rule, palette.hairline, palette.here, *palette.phases)
    assert min(_contrast(color, getattr(palette, paper)) for color in drawn) >= 3.0


@pytest.mark.parametrize("palette", [theme.DAY, theme.NIGHT])
def test_the_decades_of_a_plot_keep_three_to_one_and_what_lies_between_them_is_quieter(palette):
    strong, fine = (_contrast(color, palette.sheet) for color in (palette.grid_strong, palette.grid_fine))
    assert strong >= 3.0 > fine


def test_the_fonts_come_from_the_program_itself(qapp):
    assert theme.load_fonts() == ()
    assert QFontInfo(theme.font("reading", bold=True)).family() == theme.WORDS_FAMILY


def test_the_read_back_line_is_thirty_points_high():
    assert theme.font("read_back").pixelSize() >= 30 * 96 / 72


def test_an_unknown_palette_is_day():
    assert theme.resolve("dusk") is theme.DAY


def test_a_change_of_theme_is_told(qapp, qtbot):
    with qtbot.waitSignal(theme.current().changed):
        theme.apply(qapp, "night", "gloves")
    assert (theme.current().palette, theme.density().main_button) == (theme.NIGHT, 88)
