"""The contents down to every core, where the first page has no room for them."""

from __future__ import annotations

from app.report.blocks import Block
from app.report.content import Section, Sheet
from app.report.contents import ContentsHere


def build(sheet: Sheet) -> list[Block]:
    """The place of the list; nothing is printed there where the first page names every core."""
    del sheet
    return [ContentsHere(whole=True)]


CONTENTS_WHOLE = Section("contents_whole", build)
