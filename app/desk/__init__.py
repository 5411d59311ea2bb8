"""What a person can do: one verb per act. Each verb saves, writes the trail and returns what changed."""

from __future__ import annotations

from app.desk.desk import Desk
from app.desk.view import Address, Change, Refusal, RevisionLine, View

__all__ = ["Address", "Change", "Desk", "Refusal", "RevisionLine", "View"]
