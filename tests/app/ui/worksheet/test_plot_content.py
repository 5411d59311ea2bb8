from __future__ import annotations

import pytest

from app.ui.worksheet.plot_content import plate_limit


def test_the_plate_of_a_px_core_gives_the_corner():
    assert plate_limit("PX Ek 250 V Ie 30 mA Rct 3 ohm") == (pytest.approx(0.030), 250.0)


@pytest.mark.parametrize("class_text", ["5P20 15 VA", "no class at all", ""])
def test_another_plate_gives_no_corner(class_text):
    assert plate_limit(class_text) is None
