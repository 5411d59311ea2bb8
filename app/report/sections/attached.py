"""The photographs and certificates of the job with the digests by which they are known."""

from __future__ import annotations

from app.record.canonical import digest_groups
from app.report.blocks import Block, Heading, Stack, words
from app.report.content import Section, Sheet
from app.report.fonts import BOLD
from app.report.grid import Column, Grid, GridRow, head_row
from app.report.thumbnails import Thumbnail
from app.words import said

_KINDS = {
    "image/png": "photograph, PNG",
    "image/jpeg": "photograph, JPEG",
    "application/pdf": "document, PDF",
}


def build(sheet: Sheet) -> list[Block]:
    """One row per file: where it belongs, its name and kind, its SHA-256."""
    files = sheet.job.attached
    if not files:
        return []
    columns = (Column(width=132.0), Column(share=0.4), Column(share=0.6))
    rows = [
        GridRow(
            (
                words(sheet.place(one.core_id, one.procedure_id)),
                Stack(
                    words(one.name_text, font=BOLD),
                    words(said(_KINDS.get(one.media_type, one.media_type))),
                    *(
                        [words(said("struck: {struck}", struck=one.struck_text), font=BOLD)]
                        if one.struck_text
                        else []
                    ),
                    *([] if one.struck_text else _thumbnail(sheet, one.digest_hex)),
                ),
                words(digest_groups(one.digest_hex), size=7.5),
            )
        )
        for one in files
    ]
    head = head_row(columns, (said("Where"), said("File"), "SHA-256"))
    return [Heading(said("Attached files")), Grid(columns, [head, *rows], heads=1)]


def _thumbnail(sheet: Sheet, digest_hex: str) -> list[Block]:
    data = sheet.given.pictures.get(digest_hex)
    made = Thumbnail(data) if data is not None else None
    return [made] if made is not None and made.shows else []


ATTACHED = Section("attached", build, title="Attached files")
