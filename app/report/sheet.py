"""A frozen record, or a draft of one, in; the pages of the commissioning sheet out."""

from __future__ import annotations

from pathlib import Path

from app import progress
from app.record.files import write_whole
from app.report.blocks import Block
from app.report.content import SheetInput, marked, sheet_of
from app.report.contents import with_contents
from app.report.frame import Foot, lay_out, print_pages
from app.report.pen import Spot
from app.report.sections import SECTIONS
from app.words import speaking


def render(sheet: SheetInput) -> bytes:
    """The PDF, fit for an archive. The same input gives the same bytes."""
    return render_with_spots(sheet)[0]


def render_with_spots(sheet: SheetInput) -> tuple[bytes, tuple[Spot, ...]]:
    """The PDF, and where in it signatures and approval go; no places unless `sheet.signed` asks for them."""
    from app.record.sheet_files import archived

    drawn, spots, foot = _drawn(sheet)
    return archived(drawn, sheet.files, issued_epoch_s=foot.issued_epoch_s), spots


def spots_of(sheet: SheetInput) -> tuple[Spot, ...]:
    """Where in the PDF signatures and approval go, without making it."""
    return _drawn(sheet)[1]


def _drawn(sheet: SheetInput) -> tuple[bytes, tuple[Spot, ...], Foot]:
    # The same record gives the same bytes, whatever language the screen speaks.
    header = sheet.job.header
    with speaking(header.sheet_language, comma=header.sheet_decimal_mark == "comma"):
        content = sheet_of(sheet)
        foot = Foot.of(content.given)
        blocks: list[Block] = []
        for section in SECTIONS:
            progress.go_on()
            blocks += marked(section, content)
        blocks = with_contents(blocks)
        drawn, spots = print_pages(lay_out(blocks, foot), foot)
    return drawn, spots, foot


def write(sheet: SheetInput, path: Path) -> None:
    """Put the PDF at `path`, whole or not at all. Raises OSError where the folder cannot be written."""
    data = render(sheet)
    progress.write_whole()
    write_whole(path, data)


__all__ = ["SheetInput", "Spot", "render", "render_with_spots", "spots_of", "write"]
