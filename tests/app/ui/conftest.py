"""What every test of the window shares: fonts, theme, and a check that nothing is left behind."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtWidgets import QApplication

from app.ui import theme


@pytest.fixture(scope="session", autouse=True)
def _fonts(qapp):
    theme.load_fonts()


@pytest.fixture(autouse=True)
def _dressed(qapp):
    theme.apply(qapp)
    yield
    theme.apply(qapp)


@pytest.fixture(autouse=True)
def _nothing_left(qapp):
    threads = set(threading.enumerate())
    yield
    # Qt: widgets marked for deletion go with the next turn of the event loop (6.11).
    qapp.sendPostedEvents(None, 52)
    qapp.processEvents()
    assert [widget for widget in QApplication.topLevelWidgets() if widget.isVisible()] == []
    assert {thread for thread in threading.enumerate() if thread.name.startswith("writer")} <= threads
