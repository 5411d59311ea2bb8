from __future__ import annotations

import pytest

from tests.app.ui.desk_of_window import OpenHand


@pytest.fixture
def hand(qtbot, tmp_path):
    made = OpenHand(qtbot, tmp_path)
    yield made
    made.close()
