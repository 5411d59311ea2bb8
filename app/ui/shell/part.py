"""A part of a page that F6 goes to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtWidgets import QWidget


@dataclass(frozen=True, slots=True)
class Part:
    """The area, and what puts the focus into it."""

    area: QWidget
    go: Callable[[], object]
