"""The contents on the first page, as deep as there is room."""

from __future__ import annotations

from app.report.blocks import Block
from app.report.content import Section, Sheet
from app.report.contents import ContentsHere


def build(sheet: Sheet) -> list[Block]:
    """The place of the list; it is made when all that follows is known."""
    del sheet
    return [ContentsHere(whole=False)]


CONTENTS = Section("contents", build)
