"""resistance: derived values and findings."""

from __future__ import annotations

from ctcore.findings import Finding
from ctcore.procedure import Derived, Scene
from ctcore.takes import Take


def derive(scene: Scene, take: Take) -> list[Derived]:
    """Derived values of one take."""
    return []


def judge(scene: Scene, take: Take) -> list[Finding]:
    """Findings of one take."""
    return []
